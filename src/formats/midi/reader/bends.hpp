// Pitch bends to what a banjo does with a string: slides and chokes.
#pragma once

#include <vector>

#include "fifthpeg/report.hpp"
#include "formats/midi/note_pairing.hpp"
#include "formats/midi/reader/strokes.hpp"

namespace fifthpeg::midi::reader {

// Reads, by channel, what the bend does while each note sounds:
//   it begins late and arrives at the pitch of the channel's next note: a slide to that note;
//   it is up from the beginning, or rises early and stays or returns: a choke;
//   anything else (vibrato, dips) is reported as lost.
// Notes by onset, bends by tick.
void read_bends(std::vector<TakenNote>& notes, const std::vector<BendPoint>& bends, Report& report);

}  // namespace fifthpeg::midi::reader
