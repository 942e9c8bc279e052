// What of a score MIDI does not carry, reported once for each place where it is printed.
#pragma once

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "fifthpeg/write.hpp"
#include "performance/clock.hpp"

namespace fifthpeg::midi::writer {

void report_losses(const Score& score, const MidiOptions& options, const performance::Clock& clock,
                   Report& report);

}  // namespace fifthpeg::midi::writer
