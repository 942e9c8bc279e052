#include "fifthpeg/hands.hpp"
#include "hands/fit.hpp"
#include "hands/search.hpp"

namespace fifthpeg {
namespace {

using hands::Instant;

// Takes notes out that were let go, and the ties that led to and from them.
void let_go(Score& score, const std::vector<Instant>& line, const std::vector<hands::LetGo>& notes) {
  const auto untie = [&](std::size_t instant, const Pitch& pitch, bool Note::*tie) {
    if (instant >= line.size()) return;
    for (Note& note : stroke_at(score, line[instant]).notes) {
      if (note.pitch == pitch) note.*tie = false;
    }
  };
  for (std::size_t i = notes.size(); i-- > 0;) {  // from the back, so that indices stay true
    Stroke& stroke = stroke_at(score, line[notes[i].instant]);
    const auto at = stroke.notes.begin() + static_cast<std::ptrdiff_t>(notes[i].note);
    const Note gone = *at;
    stroke.notes.erase(at);
    if (gone.tied_to_next) untie(notes[i].instant + 1, gone.pitch, &Note::tied_from_previous);
    if (gone.tied_from_previous && notes[i].instant > 0) {
      untie(notes[i].instant - 1, gone.pitch, &Note::tied_to_next);
    }
  }
}

}  // namespace

Fingered finger(Score& score, const HandsOptions& options) {
  const hands::Neck neck(score.banjo, options.scale_length_mm);
  const std::vector<Instant> line = hands::line_of(score);
  hands::Fit fit = hands::fit(score, line, options, neck);
  const bool keep = options.refinger == Refinger::missing;
  const hands::Way way = hands::cheapest_way(score, line, fit, keep, neck);

  // Nothing can fail from here on: the score changes as a whole or not at all.
  if (fit.half_steps != 0) transpose(score, fit.half_steps);
  let_go(score, line, fit.let_go);
  auto placement = way.placements.begin();
  for (const Instant& at : line) {
    for (Note& note : stroke_at(score, at).notes) note.placement = *placement++;
  }
  return {fit.half_steps, way.cost, std::move(fit.report)};
}

}  // namespace fifthpeg
