// The measures of a text with all that stands over and under them, still in columns.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "formats/text_tab/reader/bars.hpp"
#include "formats/text_tab/reader/systems.hpp"
#include "formats/text_tab/reader/words.hpp"

namespace fifthpeg::text_tab::reader {

// A place in a measure: a stroke, or what is counted or written where nothing is struck.
struct Slot {
  std::size_t column = 0;  // in its system
  std::size_t x = 0;       // columns from the beginning of the measure
  std::vector<TabNote> notes;
  bool grace = false;
  bool rest = false;
  std::string count;  // "1", "&"; empty
  std::string picking, fingers, roles, marks, unplaced;
  std::optional<Fraction> value;
  std::vector<std::string> chords;
  std::vector<Said> words;
  std::vector<std::pair<int, std::string>> lyrics;  // by verse
  Fraction onset;

  bool is_struck() const { return !notes.empty() || !unplaced.empty(); }
};

struct TabMeasure {
  std::vector<Slot> slots;
  std::size_t width = 0;  // columns between the bars
  std::int64_t line = 0;  // where it begins in the file
  std::string number;
  bool uncounted = false;  // the others have numbers
  bool repeat_starts = false;
  bool repeat_ends = false;
  bool doubled = false;
  bool continues = false;
  int times = 0;
  std::optional<Ending> ending;
  std::optional<Fraction> lasts;
  std::vector<Said> at_end;
  bool unbarred = false;  // its system has no barlines at all
  // Once times are known:
  Meter meter;
  Fraction length;
  bool implicit = false;
};

struct TabText {
  std::size_t notes = 0;
  std::vector<TabMeasure> measures;
  std::vector<std::array<std::string, string_count>> labels;  // of each system, top first
  std::vector<std::int64_t> label_lines;
  std::vector<Row> texts;              // lines before the first system that are not of it
  std::vector<std::int64_t> left_out;  // lines of text in and behind the tab that are none of it
};

TabText read_measures(const Layout& layout, Report& report);

}  // namespace fifthpeg::text_tab::reader
