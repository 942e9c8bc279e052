// A tempo or a meter in the place of all that a file states.
#pragma once

#include <cstdint>

#include "fifthpeg/score.hpp"
#include "formats/midi/scan.hpp"

namespace fifthpeg::midi::reader {

// From the beginning on; of patterns (format 2), each.
void state_tempo(Scan& scan, std::uint32_t microseconds);
// One number of beats, and a unit that is a power of two.
void state_meter(Scan& scan, const Meter& meter);

}  // namespace fifthpeg::midi::reader
