// Where on the banjo a melody is set: in which shapes, with which capo, in which octave.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "arrange/melody.hpp"
#include "arrange/plan.hpp"
#include "fifthpeg/arrange.hpp"
#include "fifthpeg/banjo.hpp"

namespace fifthpeg::arranging {

struct Setting {
  Banjo banjo;
  int half_steps = 0;  // that the melody moves
  int rank = 0;        // what players try first has the lowest
  int estimate = 0;    // of what its notes cost in first position, by itself
};

// What of a banjo a level plays melodies on.
MelodyRange melody_range(const Banjo& banjo, int level);

// The settings that are worth a try, the most promising first; more than one where they are near each other.
// Empty where no octave has the melody on the banjo.
std::vector<Setting> settings_of(const Score& score, const std::vector<Tone>& melody, const Key& key,
                                 const ArrangeOptions& options);

// Where a capo was asked for that gives the hands shapes which players of the style do not use in a key, says
// which.
void report_unusual_shapes(const Banjo& banjo, const Key& key, const ArrangeOptions& options, Report& report);

}  // namespace fifthpeg::arranging
