// What of a score MIDI does not carry, told once for each place where it is printed.
#pragma once

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "fifthpeg/write.hpp"
#include "write/smf/clock.hpp"

namespace fifthpeg::smf {

void tell_losses(const Score& score, const SmfOptions& options, const Clock& clock, Report& report);

}  // namespace fifthpeg::smf
