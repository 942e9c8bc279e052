#include "score/cut.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace fifthpeg {
namespace {

std::size_t string_of(const Note& note) {
  return note.placement ? static_cast<std::size_t>(note.placement->string) : 0;
}

bool has_slur(const Stroke& stroke, Technique Note::*side) {
  return std::any_of(stroke.notes.begin(), stroke.notes.end(),
                     [side](const Note& note) { return note.*side == Technique::slur; });
}

// Ends ties and techniques that lead from strokes before a place to strokes behind it. Techniques stay on
// their string, but for a slur to the next stroke, which may go over to another one.
class Cut {
 public:
  // Backwards from the place, until the last note on each string is known.
  void before(Stroke& stroke) {
    if (!tied_from_ && stroke.grace == Grace::none) {
      for (Note& note : stroke.notes) note.tied_to_next = false;
      tied_from_ = true;
    }
    if (stroke.is_rest()) return;
    const bool leads_to_next = next_is_slurred_;
    next_is_slurred_ = has_slur(stroke, &Note::into);
    if (std::exchange(is_nearest_before_, false)) slur_is_open_ = has_slur(stroke, &Note::out_of);
    for (Note& note : stroke.notes) {
      if (std::exchange(seen_before_.at(string_of(note)), true)) continue;
      if (note.out_of == Technique::slur && leads_to_next) continue;
      open_.at(string_of(note)) = std::exchange(note.out_of, Technique::none) != Technique::none;
    }
    // What has no string leads to the next stroke or nowhere.
    seen_before_[0] = true;
  }
  // Forwards from it.
  void after(Stroke& stroke) {
    if (!tied_to_ && stroke.grace == Grace::none) {
      for (Note& note : stroke.notes) note.tied_from_previous = false;
      tied_to_ = true;
    }
    if (stroke.is_rest()) return;
    const bool ends_slur = std::exchange(is_nearest_after_, false) && slur_is_open_;
    const bool comes_from_last = last_slurs_on_;
    last_slurs_on_ = has_slur(stroke, &Note::out_of);
    for (Note& note : stroke.notes) {
      const bool was_open = std::exchange(open_.at(string_of(note)), false);
      const bool is_slurred = note.into == Technique::slur;
      if (is_slurred && comes_from_last) continue;
      if (was_open || (is_slurred && ends_slur)) note.into = Technique::none;
    }
  }

 private:
  bool tied_from_ = false;
  bool tied_to_ = false;
  bool is_nearest_before_ = true;
  bool is_nearest_after_ = true;
  bool next_is_slurred_ = false;  // of the stroke looked at last, going backwards
  bool last_slurs_on_ = false;    // of the stroke looked at last, going forwards
  bool slur_is_open_ = false;     // out of the nearest stroke before
  std::array<bool, string_count + 1> seen_before_{};
  std::array<bool, string_count + 1> open_{};
};

// How far what leads across may reach: beyond that a string is picked again or has fallen silent.
constexpr std::size_t farthest = 4;  // measures

}  // namespace

void cut(std::vector<Measure>& measures, std::size_t at, std::size_t stroke) {
  Cut cut;
  for (std::size_t i = stroke; i-- > 0;) cut.before(measures[at].strokes[i]);
  for (std::size_t i = at; i-- > 0 && at - i <= farthest;) {
    for (std::size_t s = measures[i].strokes.size(); s-- > 0;) cut.before(measures[i].strokes[s]);
  }
  for (std::size_t i = at; i < measures.size() && i - at < farthest; ++i) {
    auto& strokes = measures[i].strokes;
    for (std::size_t s = i == at ? stroke : 0; s < strokes.size(); ++s) cut.after(strokes[s]);
  }
}

}  // namespace fifthpeg
