// The two tracks of the file, and what of a score they do not carry.
#pragma once

#include <string>

#include "fifthpeg/performance.hpp"
#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "fifthpeg/write.hpp"
#include "performance/clock.hpp"

namespace fifthpeg::midi::writer {

// The chunk of the first track: what the piece is called, tempo, meter, key, chord symbols, marks and words.
// conventions.hpp says how each thing stands in it.
std::string conductor_track(const Score& score, const performance::Clock& clock, Report& report);

// The chunk with the notes: set-up of its channels, notes, bends and lyrics. Reports bends that would bend
// other notes on their channel along and are left out.
std::string banjo_track(const Score& score, const performance::Clock& clock, const Performance& performance,
                        bool channel_per_string, Report& report);

// What MIDI does not carry, reported once for each place where it is printed.
void report_losses(const Score& score, const MidiOptions& options, const performance::Clock& clock,
                   Report& report);

}  // namespace fifthpeg::midi::writer
