// The track with the notes: set-up of its channels, notes, bends and lyrics.
#pragma once

#include <string>

#include "fifthpeg/performance.hpp"
#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "performance/clock.hpp"

namespace fifthpeg::midi::writer {

// The chunk. Tells of bends that would bend other notes on their channel along and are left out.
std::string banjo_track(const Score& score, const performance::Clock& clock, const Performance& performance,
                        bool channel_per_string, Report& report);

}  // namespace fifthpeg::midi::writer
