// Where lines end: over the whole piece at once, so that no line is crowded because another was filled first.
// D. E. Knuth and M. F. Plass, 'Breaking paragraphs into lines', Software: Practice and Experience 11, 1981.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace fifthpeg::sheet {

// What goes into lines: a measure, or as much of one as is never parted.
struct LineItem {
  double least = 0;          // it cannot get narrower
  double natural = 0;        // how wide it is unstretched, at least `least`
  double opening = 0;        // what comes before it where it opens a line
  bool ends_measure = true;  // false: a break after it parts a measure
  bool ends_phrase = true;   // a line had better end with it than with others
  bool must_break = false;   // after it, whatever comes
};

// What is wrong with lines that end behind these items: what break_lines() makes as small as it gets.
// Infinite where a line is too wide, or does not end where it must.
double cost_of_lines(std::span<const LineItem> items, std::span<const std::size_t> ends, double width);

// The index behind the last item of each line. A line that is wider than `width` holds a single item.
// Linear in the number of items, for lines of a bounded number of them.
std::vector<std::size_t> break_lines(std::span<const LineItem> items, double width);

}  // namespace fifthpeg::sheet
