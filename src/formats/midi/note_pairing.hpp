// What is played: notes with a beginning and an end, by track and channel.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "fifthpeg/report.hpp"
#include "formats/midi/scan.hpp"

namespace fifthpeg::midi {

struct PlayedNote {
  std::int64_t on = 0;  // in ticks
  std::int64_t off = 0;
  std::uint8_t key = 0;
  std::uint8_t velocity = 0;
  std::uint8_t channel = 0;  // from 0
};

// Where a channel's pitch bend goes, in cents; it stays there until the next.
struct BendPoint {
  std::int64_t tick = 0;
  std::int16_t cents = 0;
  std::uint8_t channel = 0;
};

// The notes of one channel of one track.
struct PlayedPart {
  std::size_t track = 0;          // index into the scan's tracks
  int channel = 0;                // from 0
  int program = -1;               // from 0; -1: none was chosen
  std::vector<PlayedNote> notes;  // by onset
  std::vector<BendPoint> bends;   // by tick
};

// A note-on or note-off that has no partner, or a bend that can mean anything.
struct PairingFault {
  enum class Kind : std::uint8_t {
    struck_again,        // the key sounds, and was not struck at this very tick; the first of its channel
    note_off_alone,      // the key does not sound; the first of its channel
    never_let_go,        // `tick` is where it was struck
    bend_without_range,  // `key` says nothing; the first of its channel
  } kind = Kind::struck_again;
  std::size_t track = 0;
  int channel = 0;
  int key = 0;
  std::int64_t tick = 0;
};

struct PairedNotes {
  std::vector<PlayedPart> parts;     // those with notes, by track, then channel
  std::vector<PairingFault> faults;  // by track
};

// Rules for what the file leaves open, each added to the report with its count:
//   a key struck again while it sounds ends the earlier note there; the later one lasts to the last
//   note-off before the key is struck once more;
//   a key struck twice at one tick is a unison of two strings, which end together;
//   a note that is never let go lasts to the end of its track;
//   a note-off without a note is passed over;
//   a note of no length keeps its onset, and the quantizer gives it one step of the grid.
// Controllers, aftertouch and further program changes are losses; bends are not, see reader/bends.hpp.
PairedNotes pair_notes(const Scan& scan, Report& report);

}  // namespace fifthpeg::midi
