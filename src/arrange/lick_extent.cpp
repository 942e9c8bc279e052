#include "arrange/lick_extent.hpp"

#include <algorithm>

namespace fifthpeg::arranging {
namespace {

bool begins_tuplet(const Stroke& stroke) {
  return stroke.tuplets.empty() || stroke.tuplets.front().starts;
}
bool ends_tuplet(const Stroke& stroke) {
  return stroke.tuplets.empty() || stroke.tuplets.front().stops;
}

}  // namespace

bool goes_on_from_before(const Stroke& stroke) {
  return std::all_of(stroke.notes.begin(), stroke.notes.end(),
                     [](const Note& note) { return note.tied_from_previous; });
}

bool is_landing(const Score& lick, const Measure& measure, const Stroke& stroke) {
  if (&measure != &lick.measures.back() || lick.measures.size() == 1 || stroke.onset > 0) return false;
  return std::none_of(measure.strokes.begin(), measure.strokes.end(), [](const Stroke& other) {
    return other.onset > 0 && !other.is_rest() && !goes_on_from_before(other);
  });
}

std::optional<LickExtent> extent_of(const Score& lick) {
  LickExtent extent;
  bool plays = false;
  bool open = false;  // the last note's tuplet goes on
  Fraction group;     // start of the tuplet that a stroke is in
  Fraction start = lick.measures.empty() ? Fraction() : counted_before(lick.measures.front());
  for (const Measure& measure : lick.measures) {
    for (const Stroke& stroke : measure.strokes) {
      if (stroke.grace != Grace::none) continue;
      const Fraction at = start + stroke.onset;
      if (begins_tuplet(stroke)) group = at;
      if (!stroke.is_rest()) {
        if (is_landing(lick, measure, stroke) && !goes_on_from_before(stroke)) {
          if (!plays) return std::nullopt;
          extent.end = start;
          extent.landing = &stroke;
          return extent;
        }
        if (!plays) extent.start = group;
        plays = true;
        open = true;
      }
      if (!open) continue;
      extent.end = at + stroke.duration;
      open = !ends_tuplet(stroke);
    }
    start += measure.length;
  }
  if (!plays) return std::nullopt;
  return extent;
}

}  // namespace fifthpeg::arranging
