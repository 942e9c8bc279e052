// A tune as licks are put into it: with places and chords, and cut into units.
#pragma once

#include <cstddef>
#include <vector>

#include "arrange/melody.hpp"
#include "arrange/plan.hpp"
#include "fifthpeg/licks.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::licks {

struct StagedTune {
  Score score;   // with places
  Score ground;  // its melody, with chords
  std::vector<arranging::Tone> melody;
  std::vector<bool> ends_phrase;  // of each tone of it
  std::vector<arranging::Unit> units;
};
// Throws UnplayableError where no hand plays it.
StagedTune staged(const Score& tune, const FitOptions& options);

// Its notes that are marked so, or, where nothing is, the highest ones.
std::vector<arranging::Tone> melody_tones(const Score& tune);

// The unit in which a time lies.
std::size_t unit_at(const StagedTune& tune, std::size_t measure, Fraction at);

}  // namespace fifthpeg::licks
