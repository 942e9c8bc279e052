// A few notes that lead into a tune which begins on its first beat.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg::arranging {

// A row of the table: where the tune begins, and what leads there, an eighth each, in strings and frets.
struct KickOffRow {
  std::string_view to;  // "3:0"
  std::string_view words;
};
const std::vector<KickOffRow>& kick_off_table();

// A measure that is not counted, of two or three eighths, to stand before an arrangement in the key that
// sounds; its notes have
// strings where the table has them, and no fingers. Nothing where the arrangement begins with a pickup or a
// rest, or has no note below or above its first to lead from.
std::optional<Measure> kick_off_for(const Score& arrangement, const Key& key);

}  // namespace fifthpeg::arranging
