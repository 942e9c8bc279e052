// What a banjo plays while another instrument has the tune.
#pragma once

#include "fifthpeg/arrange.hpp"
#include "fifthpeg/harmony.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::arranging {

// A part over the measures and chords of a melody, for the banjo of the score; of chords that were inferred,
// how sure they are. Levels 1 and 2: rolls in first position, with licks where the melody rests. Levels 3 and
// 4: a vamp up the neck. Where the chord is not known, it rests, and so it does in a pickup.
Score backup_of(const Score& score, const std::vector<InferredChord>& inferred, int level);

}  // namespace fifthpeg::arranging
