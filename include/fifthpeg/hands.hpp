// Hands: where each note is played. An exact search over the whole piece for the cheapest playable way
// under a documented cost table (src/hands/costs.hpp).
#pragma once

#include <cstdint>
#include <optional>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg {

// What happens to placements, fingers and digits that the score already has.
enum class Refinger : std::int8_t {
  missing,  // keep them all; find what is missing
  all,      // find everything anew
};

struct HandsOptions {
  // Half steps to move the whole piece by. Not set: by as few octaves as bring every note into range.
  std::optional<int> transpose;
  // Let inner notes go from strokes that no hand can hold, the melody note last. Off: PlayError.
  bool thin = false;
  Refinger refinger = Refinger::missing;
  double scale_length_mm = usual_scale_length_mm;
};

struct Fingered {
  int half_steps = 0;     // how far the piece was moved
  std::int64_t cost = 0;  // of the whole way, in units of the cost table
  Report report;
};

// Gives every note of the score a placement on score.banjo. Throws PlayError, naming measure, beat and
// pitch, where that cannot be; the score is then unchanged.
Fingered finger(Score& score, const HandsOptions& options = {});

}  // namespace fifthpeg
