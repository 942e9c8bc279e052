// Ties: what they can join, and what becomes of those that join nothing.
#pragma once

#include <cstddef>
#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg {

// The same string at the same pitch, as far as is known: what a tie can join.
bool can_be_tied(const Note& from, const Note& to);

// A stroke with a note that is tied to what does not come.
struct LooseTie {
  std::size_t measure = 0;  // index into Score::measures
  std::size_t stroke = 0;   // index into Measure::strokes
};

// Unties each end that has no other end, and says where ties began that lead nowhere. Ties hold between a
// stroke and the next one that is not grace, over barlines too. What is tied has the role of the note that
// goes on.
std::vector<LooseTie> drop_loose_ties(Score& score);

}  // namespace fifthpeg
