// From where to where a lick plays, and over which chords. Times count from the start of its first measure,
// were that whole.
#pragma once

#include <optional>

#include "fifthpeg/score.hpp"

namespace fifthpeg::arranging {

struct LickExtent {
  Fraction start;                   // of its first note, or of the tuplet that this is in
  Fraction end;                     // of its last; where it lands, the barline before
  const Stroke* landing = nullptr;  // what it lands on
};
// Nothing where it has no notes, or none but those that it lands on. Points into the lick.
std::optional<LickExtent> extent_of(const Score& score);

// Whether a stroke is what a lick lands on: the first beat of the last of several measures, and nothing after
// it.
bool is_landing(const Score& score, const Measure& measure, const Stroke& stroke);
// Whether all of its notes go on from before.
bool goes_on_from_before(const Stroke& stroke);

// The start of the unit in which a time of the lick lies.
Fraction start_of_unit(const Score& score, Fraction slot, Fraction at);
// The chord over a time of it, as shape_of() numbers it; the first that is written also stands before it. -1
// for none.
int shape_at(const Score& score, Fraction at);
// Its whole length, with what its first measure lacks.
Fraction length_of(const Score& score);

}  // namespace fifthpeg::arranging
