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

// Where a measure stands in its meter: from 0 but in a pickup, and where a repeat sign splits a measure.
class BarCounter {
 public:
  explicit BarCounter(bool begins_score) : can_be_pickup_(begins_score) {}

  void next(const Measure& measure, bool is_last);
  bool is_pickup() const { return pickup_; }
  Fraction start() const { return start_; }
  std::size_t bar() const { return bar_; }

 private:
  bool can_be_pickup_;
  bool pickup_ = false;
  Fraction start_;
  Fraction end_;
  std::size_t bar_ = 0;
};

// Time as a weight: exact for what is usually written, and no more than that of a thousand whole notes.
std::int64_t ticks_of(Fraction time);

// Notes without pitch and the open fifth string, which sounds through all chords, do not.
bool weighs(const Note& note);

// Half a measure and what else usually has one chord, in units of the meter: 4/4 {2, 2}, 3/4 {3}, 6/8 {3, 3},
// 12/8 {6, 6}, 5/4 {3, 2}, additive meters as they are written.
std::vector<int> chord_spans(const Meter& meter);

// Those of measures `first` to `end`, without a pickup. Grace notes weigh nothing.
std::vector<Unit> units_of(const Score& score, std::size_t first, std::size_t end);

}  // namespace fifthpeg::harmony
