// How wide the gaps of a line are: all stretch alike, and none is narrower than what stands in it.
#pragma once

#include <span>
#include <vector>

namespace fifthpeg::sheet {

struct Spring {
  double least = 0;    // no narrower than this
  double natural = 0;  // how wide it would be; 0: rigid
};

// The natural distance from a note to the next, as many times that of `shortest` as the square root of the
// ratio of their lengths: with each doubling about 1.4 times as far, as the tables of engravers have it
// (quarter 3 1/2, half 5, whole 7 spaces; E. Gould, Behind Bars, London 2011, on spacing, from memory). A
// logarithm would give long notes less, and with that hide how long they are: tab has no note heads to tell.
double natural_gap(double length, double shortest, double shortest_gap);

// What they measure when all natural widths are multiplied by `stretch`.
double width_at(std::span<const Spring> springs, double stretch);

// The stretch with which they measure `width`: the smallest there is, 0, where they cannot get as narrow.
double stretch_to(std::span<const Spring> springs, double width);

}  // namespace fifthpeg::sheet
