// What is played: notes with a beginning and an end, by track and channel.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "fifthpeg/report.hpp"
#include "formats/midi/scan.hpp"

namespace fifthpeg::midi::reader {

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

struct Performance {
  std::vector<PlayedPart> parts;  // those with notes, by track, then channel
  std::int64_t last_off = 0;
};

// Rules for what the file leaves open, each told with its count:
//   a key struck again while it sounds ends the earlier note there; the later one lasts to the last
//   note-off before the key is struck once more;
//   a key struck twice at one tick is a unison of two strings, which end together;
//   a note that is never let go lasts to the end of its track;
//   a note-off without a note is passed over;
//   a note of no length keeps its onset, and the quantiser gives it one step of the grid.
// Controllers, aftertouch and further program changes are losses; bends are not, see bends.hpp.
Performance perform(const Scan& scan, Report& report);

}  // namespace fifthpeg::midi::reader
