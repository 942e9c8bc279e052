// Measures and beats of ticks, by the time signatures of a MIDI file as they stand there.
#pragma once

#include <cstdint>
#include <utility>
#include <vector>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "formats/midi/scan.hpp"

namespace fifthpeg::check {

class MidiClock {
 public:
  explicit MidiClock(const midi::Scan& scan);

  // Measure, from 1, and beat. Empty where ticks are real time, or every track has a time of its own.
  Place at(std::int64_t tick) const;

 private:
  std::vector<std::pair<std::int64_t, Meter>> meters_;  // with their ticks, in order
  std::int64_t ticks_a_whole_ = 0;
};

}  // namespace fifthpeg::check
