// The first track: what the piece is called, tempo, meter, key, chord symbols, marks and words.
#pragma once

#include <string>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "performance/clock.hpp"

namespace fifthpeg::midi::writer {

// The chunk. Chord symbols and rehearsal marks are markers; a rehearsal mark that would read as a chord
// symbol ("A") is written with the word before it ("Rehearsal A").
std::string conductor_track(const Score& score, const performance::Clock& clock, Report& report);

}  // namespace fifthpeg::midi::writer
