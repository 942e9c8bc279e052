#include "score/ties.hpp"

namespace fifthpeg {

bool can_be_tied(const Note& from, const Note& to) {
  return from.pitch.midi() == to.pitch.midi() &&
         (!from.placement || !to.placement || from.placement->string == to.placement->string);
}

std::vector<LooseTie> drop_loose_ties(Score& score) {
  std::vector<LooseTie> loose;
  Stroke* previous = nullptr;
  LooseTie where;            // the previous stroke is
  std::vector<bool> wanted;  // which notes of the previous stroke are tied on
  std::vector<bool> used;
  const auto close = [&] {
    if (previous == nullptr) return;
    for (std::size_t i = 0; i < previous->notes.size(); ++i) {
      if (wanted[i] || !previous->notes[i].tied_to_next) continue;
      previous->notes[i].tied_to_next = false;
      loose.push_back(where);
    }
  };
  for (std::size_t m = 0; m < score.measures.size(); ++m) {
    std::vector<Stroke>& strokes = score.measures[m].strokes;
    for (std::size_t s = 0; s < strokes.size(); ++s) {
      Stroke& stroke = strokes[s];
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
          if (!found) continue;
          used[i] = true;
          note.role = previous->notes[i].role;
        }
        note.tied_from_previous = found;
      }
      wanted.swap(used);
      close();
      previous = &stroke;
      where = {m, s};
    }
  }
  if (previous != nullptr) wanted.assign(previous->notes.size(), false);
  close();
  return loose;
}

}  // namespace fifthpeg
