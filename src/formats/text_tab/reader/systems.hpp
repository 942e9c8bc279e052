// Which lines of a text are tab, and which lines belong to them.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string_view>
#include <vector>

#include "formats/text_tab/tab_line.hpp"

namespace fifthpeg::text_tab::reader {

struct Line {  // that is not blank
  std::string_view bytes;
  std::int64_t number = 0;  // in the file, from 1
};

// Indices of lines: [over, strings) stands over the tab, [strings, under) are its strings, [under, end)
// stands under it.
struct SystemLines {
  std::size_t over = 0;
  std::size_t strings = 0;
  std::size_t under = 0;
  std::size_t end = 0;
};

struct Layout {
  bool utf8 = true;
  std::vector<Line> lines;
  std::vector<SystemLines> systems;

  Row row(std::size_t index, DashWidths widths = {}) const {
    return read_row(lines[index].bytes, lines[index].number, utf8, widths);
  }
};

// Throws ReadError where lines of tab stand together that are not five.
Layout find_systems(std::string_view bytes);

}  // namespace fifthpeg::text_tab::reader
