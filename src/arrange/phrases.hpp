// The phrases of a melody: where they end, and in which octave each is played.
#pragma once

#include <cstdint>
#include <vector>

#include "arrange/melody.hpp"
#include "arrange/plan.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::arranging {

// For each note whether it is the last of its phrase. Common practice: phrases of four measures end on a note
// longer than a beat, and so they do before a double bar or a repeat sign; where the melody rests for two
// beats and far longer than it usually does, one ends anywhere.
std::vector<bool> phrase_ends(const Score& score, const std::vector<Tone>& melody, Fraction slot);

// By how much a note moves so that a range has it.
struct OctaveMove {
  std::int8_t half_steps = 0;  // 0, or octaves
  bool alone = false;          // and not with its phrase
};

// For each note of a melody that was moved by `half_steps` before. Common practice: a phrase that lies too
// low or too high is played in the other octave as a whole, with its neighbors rather than against them; of
// one that only touches such a note, that note alone.
std::vector<OctaveMove> octave_moves(const std::vector<Tone>& melody, const std::vector<bool>& ends,
                                     MelodyRange range, int half_steps = 0);

}  // namespace fifthpeg::arranging
