// Which meter a take is in, and where its measures begin: by where the long notes, the steps and leaps of the
// melody, its repetitions, its accents, and its first and last note stand.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "fifthpeg/fraction.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::midi::reader {

// A note (of a chord the highest) on a step of the pulse.
struct SteppedNote {
  std::int64_t step = 0;  // ascending, each once
  std::uint8_t key = 0;
  double accent = 0.0;  // loudness, in standard deviations above the mean of the take
};

struct TakeMeter {
  Meter meter;
  Fraction step_value;        // of a whole note
  std::int64_t downbeat = 0;  // a step on which a measure begins
  bool swung = false;         // three steps a beat of which the middle one is hardly ever played
  double score = 0.0;         // nats, up to a constant
};

// What is known from elsewhere.
struct TakeHints {
  std::optional<Meter> meter;
  std::optional<Fraction> grid;    // the finest note value
  std::optional<Fraction> pickup;  // from the first note to the first full measure
};

// The best reading that agrees with the hints; nothing where none can.
std::optional<TakeMeter> find_meter(const std::vector<SteppedNote>& notes, double step_s,
                                    const TakeHints& hints);

}  // namespace fifthpeg::midi::reader
