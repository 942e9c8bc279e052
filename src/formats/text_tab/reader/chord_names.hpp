// Chord names over tab for a banjo with a capo: players write the shapes that they hold, other texts the
// chords that sound.
#pragma once

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::text_tab::reader {

// Makes the chords of a score those that sound. As they stand they are read so where the notes under them
// agree with them better than with the chords that the capo makes of them, and else as shapes.
void settle_chord_names(Score& score, Report& report);

}  // namespace fifthpeg::text_tab::reader
