// The tracks of the file, and what of a score they do not carry.
#pragma once

#include <string>
#include <vector>

#include "fifthpeg/performance.hpp"
#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "fifthpeg/write.hpp"
#include "formats/midi/conventions.hpp"
#include "performance/clock.hpp"

namespace fifthpeg::midi::writer {

// The chunk of the first track: what the piece is called, tempo, meter, key, chord symbols, marks and words.
// conventions.hpp says how each thing stands in it.
std::string conductor_track(const Score& score, const performance::Clock& clock, Report& report);

// Which channels a part has, counted from 0, and what it is played on.
struct Channels {
  int first = 0;
  bool by_string = false;  // one for each string and one for the rest, see channel_behind()
  int program = banjo_program;
};

// The chunk with the notes: set-up of its channels, notes, bends and lyrics. Reports bends that would bend
// other notes on their channel along and are left out.
std::string banjo_track(const Score& score, const performance::Clock& clock, const Performance& performance,
                        const Channels& channels, Report& report);

// The chunk with the clicks of a metronome, which is named for them.
std::string click_track(const performance::Clock& clock, const Performance& performance,
                        const std::vector<Click>& clicks);

// What MIDI does not carry, reported once for each place where it is printed.
void report_losses(const Score& score, const MidiOptions& options, const performance::Clock& clock,
                   Report& report);
// The same of a part that is played with a first: of its measures only what the first does not have, too.
void report_losses_beside(const Score& first, const Score& further, const MidiOptions& options,
                          const performance::Clock& clock, Report& report);

}  // namespace fifthpeg::midi::writer
