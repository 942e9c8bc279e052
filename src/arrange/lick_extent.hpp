// From where to where a lick plays. Times count from the start of its first measure, were that whole.
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
std::optional<LickExtent> extent_of(const Score& lick);

// Whether a stroke is what a lick lands on: the first beat of the last of several measures, and nothing after
// it.
bool is_landing(const Score& lick, const Measure& measure, const Stroke& stroke);
// Whether all of its notes go on from before.
bool goes_on_from_before(const Stroke& stroke);

}  // namespace fifthpeg::arranging
