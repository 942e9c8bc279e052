// Which line of each system is which string, and what the banjo is tuned to.
#pragma once

#include <vector>

#include "fifthpeg/banjo.hpp"
#include "fifthpeg/report.hpp"
#include "formats/text_tab/reader/heading.hpp"
#include "formats/text_tab/reader/measures.hpp"

namespace fifthpeg::text_tab::reader {

struct StringOrder {
  Banjo banjo;
  std::vector<bool> upside_down;  // by system: string 5 on top
  int fifth_shift = 0;            // what frets of the fifth string lack that are counted from its own nut

  // Where a note is stopped. Throws ReadError where there is no such fret.
  Placement placement(const TabNote& note) const;
};

StringOrder find_strings(const TabText& text, const Heading& heading, Report& report);

}  // namespace fifthpeg::text_tab::reader
