#include "score/ties.hpp"

#include <vector>

namespace fifthpeg {

bool can_be_tied(const Note& from, const Note& to) {
  return from.pitch.midi() == to.pitch.midi() &&
         (!from.placement || !to.placement || from.placement->string == to.placement->string);
}

void drop_loose_ties(Score& score) {
  Stroke* previous = nullptr;
  std::vector<bool> wanted;  // which notes of the previous stroke are tied on
  std::vector<bool> used;
  const auto close = [&] {
    if (previous == nullptr) return;
    for (std::size_t i = 0; i < previous->notes.size(); ++i) {
      if (!wanted[i]) previous->notes[i].tied_to_next = false;
    }
  };
  for (Measure& measure : score.measures) {
    for (Stroke& stroke : measure.strokes) {
      if (stroke.grace != Grace::none) {
        for (Note& note : stroke.notes) note.tied_to_next = note.tied_from_previous = false;
        continue;
      }
      used.assign(previous != nullptr ? previous->notes.size() : 0, false);
      for (Note& note : stroke.notes) {
        if (!note.tied_from_previous) continue;
        bool found = false;
        for (std::size_t i = 0; previous != nullptr && i < used.size() && !found; ++i) {
          found = !used[i] && previous->notes[i].tied_to_next && can_be_tied(previous->notes[i], note);
          if (found) used[i] = true;
        }
        note.tied_from_previous = found;
      }
      wanted.swap(used);
      close();
      previous = &stroke;
    }
  }
  if (previous != nullptr) wanted.assign(previous->notes.size(), false);
  close();
}

}  // namespace fifthpeg
