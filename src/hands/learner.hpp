// How fast a learner's hands go: what check and difficulty() say of tempos comes from here.
#pragma once

#include <vector>

#include "fifthpeg/score.hpp"
#include "hands/stroke_sequence.hpp"

namespace fifthpeg::hands {

// A learner wants so many times what a shift takes (shift_milliseconds()). From memory.
inline constexpr double learners_shift = 2.0;

// A picking finger strikes again, whatever the others do between.
struct FingerRepeat {
  Event at;            // of the second time
  Fraction value;      // from the first time to it, of whole notes
  double seconds = 0;  // the same, by the tempos of the score
};
// In order. Grace notes take their time from what stands before them, and are left out.
std::vector<FingerRepeat> finger_repeats(const Score& score);

// The fastest tempo, in such beats a minute, at which a learner's finger picks again after so long a value.
double learners_tempo(Fraction value, Fraction beat);

// The fastest tempo at which a learner shifts so many frets in so many beats.
double learners_tempo_for_shift(int frets, Fraction beats);

}  // namespace fifthpeg::hands
