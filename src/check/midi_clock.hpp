// Measures and beats of ticks, by the time signatures of a MIDI file as they stand there.
#pragma once

#include <cstdint>
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
  struct Stretch {  // of one meter
    std::int64_t tick = 0;
    std::int64_t measure = 1;  // that begins there
    Meter meter;
  };
  struct Passed {
    std::int64_t measures = 0;
    std::int64_t rest = 0;  // in parts of a tick, of which there are as many as the meter's unit says
  };
  Passed since(const Stretch& stretch, std::int64_t tick) const;

  std::vector<Stretch> stretches_;  // by tick; the first from 0
  std::int64_t ticks_a_whole_ = 0;
};

}  // namespace fifthpeg::check
