// Music cut into what has one chord.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg::harmony {

using PitchClasses = std::array<std::int64_t, 12>;  // C first

// As an index.
inline std::size_t pitch_class_of(int midi) {
  return static_cast<std::size_t>(pitch_class(midi));
}

struct Unit {
  std::size_t measure = 0;  // index into Score::measures
  Fraction at;              // from the start of the measure
  Fraction length;
  std::size_t bar = 0;      // a measure as it is counted: two that are one, split by a repeat sign, share it
  Fraction in_bar;          // from the start of the bar
  PitchClasses sounding{};  // how long each sounds
  PitchClasses weight{};    // the same weighed by where it begins; a note on the beat that fills it: 1200
};

// Half a measure and what else usually has one chord, in units of the meter: 4/4 {2, 2}, 3/4 {3}, 6/8 {3, 3},
// 12/8 {6, 6}, 5/4 {3, 2}, additive meters as they are written.
std::vector<int> chord_spans(const Meter& meter);

// Those of measures `first` to `end`, without a pickup. Grace notes, notes without pitch and the open fifth
// string, which sounds through all chords, weigh nothing.
std::vector<Unit> units_of(const Score& score, std::size_t first, std::size_t end);

}  // namespace fifthpeg::harmony
