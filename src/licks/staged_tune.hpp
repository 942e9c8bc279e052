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
  // The same melody, in which a note that is struck again to the end of its phrase is held.
  std::vector<arranging::Tone> held_melody;
  std::vector<bool> held_ends_phrase;
  std::vector<arranging::Unit> units;
};
// Throws UnplayableError where no hand plays it.
StagedTune staged(const Score& tune, const FitOptions& options);

// How a lick's seams are fingered in a tune: one that is frailed is frailed on.
FitOptions as_played(const Score& tune, FitOptions options);

// Its notes that are marked so, or, where nothing is, the highest ones.
std::vector<arranging::Tone> melody_tones(const Score& tune);
// The same, with what is struck again held, as in StagedTune.
std::vector<arranging::Tone> held_melody_tones(const Score& tune);

// The unit in which a time lies.
std::size_t unit_at(const StagedTune& tune, std::size_t measure, Fraction at);

}  // namespace fifthpeg::licks
