// Where the first measure begins, for whoever knows better than the file: a take that was recorded without a
// click begins anywhere.
#pragma once

#include <vector>

#include "fifthpeg/fraction.hpp"
#include "formats/midi/note_pairing.hpp"
#include "formats/midi/scan.hpp"

namespace fifthpeg::midi::reader {

// Moves all events alike, so that the first note of all lies `pickup` (of a whole note) before the first full
// measure, or on its first beat where that is 0.
//   - Silence before the first note falls away.
//   - The tempo and the key at the first note hold from the beginning, and so does the meter at the first
//     full measure: it is the one that the pickup is counted in. What the file states of these before then
//     falls away; a change after it moves along.
//   - The first note may have been played early or late like any other: where enough of those that follow
//     stand near a beat, the beats say where it belongs.
// UsageError where the pickup is no part of a measure, or the ticks are real time.
void set_pickup(Scan& scan, std::vector<PlayedPart>& parts, Fraction pickup);

}  // namespace fifthpeg::midi::reader
