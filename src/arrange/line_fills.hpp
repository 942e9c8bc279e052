// What sounds beside a line where its notes are long.
#pragma once

#include "arrange/plan.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::arranging {

// Adds to a line whose notes have their strings what goes with its notes of a quarter or more. Melodic:
// single notes after them, the drone or an open string of the chord beside theirs; at level 2 one, off the
// beat, or beside a note of two beats or more on the next; from level 3 on eighths as far as strings
// alternate. Single-string: below those on a beat
// another note of the chord on the next string, where the hand holds both. All of it has its strings, too.
// A preference other than 0 is for other notes where several will do. Returns whether anything was added.
bool add_line_fills(Score& score, const Plan& plan, Style style, int level, int preference);

}  // namespace fifthpeg::arranging
