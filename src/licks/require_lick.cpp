#include "licks/require_lick.hpp"

#include <algorithm>
#include <string>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/licks.hpp"

namespace fifthpeg::licks {

void require_lick(const Score& lick) {
  if (lick.measures.size() > longest_lick) {
    throw UsageError("too-long-for-a-lick",
                     "a lick has at most " + std::to_string(longest_lick) + " measures, and this has " +
                         std::to_string(lick.measures.size()) + ": it is a tune, or a part of one");
  }
  const bool has_notes = std::any_of(lick.measures.begin(), lick.measures.end(), [](const Measure& measure) {
    return std::any_of(measure.strokes.begin(), measure.strokes.end(),
                       [](const Stroke& stroke) { return !stroke.is_rest() && stroke.grace == Grace::none; });
  });
  if (!has_notes) throw UsageError("no-notes", "there are no notes in it");
}

}  // namespace fifthpeg::licks
