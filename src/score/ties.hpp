// Ties: what they can join, and what becomes of those that join nothing.
#pragma once

#include "fifthpeg/score.hpp"

namespace fifthpeg {

// The same string at the same pitch, as far as is known: what a tie can join.
bool can_be_tied(const Note& from, const Note& to);

// Unties each end that has no other end. Ties hold between a stroke and the next one that is not grace, over
// barlines too.
void drop_loose_ties(Score& score);

}  // namespace fifthpeg
