// The first track: what the piece is called, tempo, meter, key, chord symbols, marks and words.
#pragma once

#include <string>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "performance/clock.hpp"

namespace fifthpeg::midi::writer {

// The chunk. conventions.hpp says how each thing stands in it.
std::string conductor_track(const Score& score, const performance::Clock& clock, Report& report);

}  // namespace fifthpeg::midi::writer
