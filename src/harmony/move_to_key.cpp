// Music in another key, without arithmetic.
#include <algorithm>
#include <string>

#include "fifthpeg/harmony.hpp"
#include "score/interval.hpp"

namespace fifthpeg {
namespace {

bool has_tab(const Score& score) {
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      if (std::any_of(stroke.notes.begin(), stroke.notes.end(),
                      [](const Note& note) { return note.placement.has_value(); }))
        return true;
    }
  }
  return false;
}

}  // namespace

KeyMove move_to_key(Score& score, const Key& wanted, const std::optional<Key>& source, int raised) {
  const Key from = source.value_or(find_key(score));
  KeyMove move;
  move.half_steps = half_steps_between(from, wanted);
  const std::string to = to_string(moved(from, move_for(from, move.half_steps)));
  if (move.half_steps == 0) {
    move.report.add(EntryKind::decision, "key-as-wanted", "the music is in " + to + " as it is");
    return move;
  }
  const bool by_strings = move.half_steps == raised;
  move.report.add(EntryKind::decision, source ? "moved-to-key" : "moved-from-found-key",
                  "the music moves " + interval_text(move.half_steps) +
                      (move.half_steps > 0 ? " up" : " down") + ", from " + to_string(from) + " to " + to +
                      (has_tab(score) && !by_strings ? ", and its tab is placed anew" : ""));
  if (!by_strings) transpose(score, move.half_steps);
  return move;
}

}  // namespace fifthpeg
