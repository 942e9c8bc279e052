// How a measure is counted aloud, and how its strokes are spaced by it.
#pragma once

#include <string>
#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg::engraving {

// A place in a measure that is counted or at which a stroke begins.
struct CountedPlace {
  Fraction offset;    // from the start of the measure
  std::string label;  // "1", "&", or empty
  int room = 3;       // to the next place: columns of text, or anything in proportion to them
  bool on_beat = false;
};

// The places of a measure, in order. Beats are as wide as the most divided one needs, and their places stand
// in proportion. Counted 1 e & a, triplets 1 & a, by the lower number of the meter (common practice); a
// pickup is counted from the end of its meter.
std::vector<CountedPlace> counted_places(const Measure& measure, bool first);

}  // namespace fifthpeg::engraving
