// A system: its five strings brought together, cut at the barlines.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "fifthpeg/banjo.hpp"
#include "fifthpeg/report.hpp"
#include "formats/text_tab/reader/systems.hpp"
#include "formats/text_tab/reader/tokens.hpp"

namespace fifthpeg::text_tab::reader {

// What stands between two bars of one system: columns [begin, end).
struct Span {
  std::size_t begin = 0;
  std::size_t end = 0;
  std::size_t bar = 0;     // the column of the bar before it
  std::size_t right = 0;   // and behind the bar after it
  bool goes_on = false;    // it is the rest of a measure that begins in the system before
  bool continues = false;  // and this goes on in the next one
  bool repeat_starts = false;
  bool repeat_ends = false;
  bool doubled = false;  // the bar at its end
};

struct SystemTab {
  std::int64_t line = 0;                         // of its top string
  std::array<std::string, string_count> labels;  // top first
  std::vector<TabNote> notes;                    // by column
  std::vector<Span> spans;
  std::vector<std::int64_t> comments;  // lines with text behind their last bar
  int times = 0;
  bool unbarred = false;
};

SystemTab read_system(const Layout& layout, const SystemLines& lines, Report& report);

}  // namespace fifthpeg::text_tab::reader
