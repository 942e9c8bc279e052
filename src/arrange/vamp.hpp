// A vamp: a bass note by the thumb on the beat, and off it a pinch of three strings that is stopped short.
#pragma once

#include <vector>

#include "arrange/plan.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::arranging {

// Where in a measure of a meter the bass is struck, and where the pinch.
struct VampBeat {
  Fraction at;  // from the start of the meter
  bool bass = false;
};
std::vector<VampBeat> vamp_of(const Meter& meter);

// Puts a vamp into the measures of a score, which lose what strokes they have, over the harmony of units. The
// shapes are closed, and at most four frets lie between one and the next where there are such; at the highest
// level they move on in chords that last.
void write_vamp(Score& score, const std::vector<Unit>& units, int level);

}  // namespace fifthpeg::arranging
