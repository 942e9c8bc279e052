// From breaks to a whole arrangement: one after the other, with what stands before and behind them, and the
// part that accompanies.
#pragma once

#include <string>
#include <vector>

#include "fifthpeg/arrange.hpp"
#include "fifthpeg/harmony.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::arranging {

struct Break {
  Score score;
  std::vector<MelodyNote> melody;
  std::vector<std::string> reasons;  // of its strokes with notes, in order; or none
};

// What the breaks were made of.
struct Tune {
  Score score;  // the melody with its chords, where it sounds
  std::vector<InferredChord> inferred;
  Key key;  // that sounds
};

// All breaks have the measures of the tune. What else is asked for is added, and fingers are found for what
// has none.
Arrangement finished(std::vector<Break> breaks, const Tune& tune, const ArrangeOptions& options);

}  // namespace fifthpeg::arranging
