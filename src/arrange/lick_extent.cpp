#include "arrange/lick_extent.hpp"

#include <algorithm>

#include "arrange/licks.hpp"
#include "arrange/plan.hpp"
#include "hands/request.hpp"

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

bool is_landing(const Score& score, const Measure& measure, const Stroke& stroke) {
  if (&measure != &score.measures.back() || score.measures.size() == 1 || stroke.onset > 0) return false;
  return std::none_of(measure.strokes.begin(), measure.strokes.end(), [](const Stroke& other) {
    return other.onset > 0 && !other.is_rest() && !goes_on_from_before(other);
  });
}

std::optional<LickExtent> extent_of(const Score& score) {
  LickExtent extent;
  bool plays = false;
  bool open = false;  // the last note's tuplet goes on
  Fraction group;     // start of the tuplet that a stroke is in
  Fraction start = score.measures.empty() ? Fraction() : counted_before(score.measures.front());
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      if (stroke.grace != Grace::none) continue;
      const Fraction at = start + stroke.onset;
      if (begins_tuplet(stroke)) group = at;
      if (!stroke.is_rest()) {
        if (is_landing(score, measure, stroke) && !goes_on_from_before(stroke)) {
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

Fraction start_of_unit(const Score& score, Fraction slot, Fraction at) {
  Fraction start;
  Fraction end = counted_before(score.measures.front());
  for (const Measure& measure : score.measures) {
    end += measure.length;
    if (end <= at) {
      start = end;
      continue;
    }
    for (const int span : spans_of(measure.meter, slot)) {
      const Fraction next = start + slot * Fraction(span);
      if (next > at) break;
      start = next;
    }
    break;
  }
  return start;
}

int shape_at(const Score& score, Fraction at) {
  const ChordSymbol* in_force = nullptr;
  Fraction start = counted_before(score.measures.front());
  for (const Measure& measure : score.measures) {
    for (const ChordSymbol& chord : measure.chords) {
      if (in_force == nullptr || start + chord.at <= at) in_force = &chord;
    }
    start += measure.length;
  }
  return in_force == nullptr ? -1 : shape_of(hands::chord_of(*in_force, 0), score.banjo);
}

Fraction length_of(const Score& score) {
  Fraction length = counted_before(score.measures.front());
  for (const Measure& measure : score.measures) length += measure.length;
  return length;
}

}  // namespace fifthpeg::arranging
