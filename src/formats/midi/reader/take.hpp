// Takes that were played without a click: recorders write 120 beats a minute into the file and let the
// playing run free, so that the beats of the file say nothing. The beats, the meter and the first measure are
// found in the notes instead.
#pragma once

#include <optional>
#include <vector>

#include "fifthpeg/fraction.hpp"
#include "fifthpeg/read.hpp"
#include "formats/midi/note_pairing.hpp"
#include "formats/midi/scan.hpp"

namespace fifthpeg::midi::reader {

struct Take {
  Fraction pickup;               // from the first note to the first full measure
  double residual = 0.0;         // mean distance between played and found onset, in whole notes
  std::optional<Fraction> grid;  // what all notes stand on; not set: most of them do, and some between
};

// Decides whether the file is such a take: most of its onsets lie off the grid, and a pulse of their own
// explains them better than the beats of the file do. If so, moves all events alike, so that the beats that
// were found are the beats of the file, in one tempo and meter; an onset that stands on the pulse then does
// so exactly. What was found is reported, and so is a take whose pulse was not found. Patterns (format 2) are
// none, nor is anything where the options keep the beats of the file.
std::optional<Take> retime_take(Scan& scan, std::vector<PlayedPart>& parts, const ReadOptions& options,
                                Report& report);

}  // namespace fifthpeg::midi::reader
