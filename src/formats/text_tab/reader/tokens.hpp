// One string of a system: its frets with the signs that stand at them, and its barlines.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "formats/text_tab/tab_line.hpp"

namespace fifthpeg::text_tab::reader {

struct TabNote {
  std::size_t system = 0;
  std::size_t row = 0;     // 0: the line on top
  std::size_t column = 0;  // where the fret begins
  std::size_t width = 1;   // of the fret in columns
  std::size_t lead = 0;    // columns of '(' or '<' before it
  std::int64_t line = 0;   // where it stands in the file
  std::int64_t source = 0;
  int fret = 0;
  bool dead = false;
  bool grace = false;
  bool in_parentheses = false;
  bool harmonic = false;
  Technique into = Technique::none;
  Technique out_of = Technique::none;
  std::optional<Choke> choke;
  bool choke_without_height = false;
  Ring ring = Ring::natural;
};

struct Bar {
  std::size_t begin = 0;  // columns of the bar without its dots
  std::size_t end = 0;
  bool repeat_ends = false;
  bool repeat_starts = false;
  bool doubled = false;
  bool continues = false;  // ">": the measure goes on in the next system
};

struct StringTokens {
  std::vector<TabNote> notes;
  std::vector<Bar> bars;
  std::size_t begin = 0;
  std::size_t end = 0;  // behind the last column that is of the tab
  int times = 0;        // "x3" behind the last bar
  bool has_comment = false;
};

// A place in a line of the file.
Place at(const Row& row, std::size_t column);

// Throws ReadError for what is no sign of tab.
StringTokens read_string(const Row& row, const TabLine& line, std::size_t index);

}  // namespace fifthpeg::text_tab::reader
