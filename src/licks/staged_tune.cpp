#include "licks/staged_tune.hpp"

#include <algorithm>
#include <utility>

#include "fifthpeg/edit.hpp"
#include "fifthpeg/harmony.hpp"

namespace fifthpeg::licks {
namespace {

Score melody_alone(const Score& tune) {
  Score melody = tune;
  if (has_role(tune, Role::melody)) keep_only(melody, {Role::melody});
  return melody;
}

bool is_placed(const Score& score) {
  return std::all_of(score.measures.begin(), score.measures.end(), [](const Measure& measure) {
    return std::all_of(measure.strokes.begin(), measure.strokes.end(), [](const Stroke& stroke) {
      return std::all_of(stroke.notes.begin(), stroke.notes.end(),
                         [](const Note& note) { return note.placement.has_value(); });
    });
  });
}

}  // namespace

StagedTune staged(const Score& tune, const FitOptions& options) {
  StagedTune made;
  made.score = tune;
  if (!is_placed(tune)) {
    HandsOptions hands;
    hands.transpose = 0;
    hands.suggest_slurs = false;
    hands.style = options.style;
    finger(made.score, hands);
  }
  const bool has_chords = std::any_of(tune.measures.begin(), tune.measures.end(),
                                      [](const Measure& measure) { return !measure.chords.empty(); });
  std::vector<InferredChord> inferred;
  made.ground = melody_alone(tune);
  if (!has_chords) {
    inferred = infer_chords(tune);
    Score with_chords = tune;
    add_inferred_chords(with_chords);
    for (std::size_t m = 0; m < with_chords.measures.size(); ++m)
      made.ground.measures[m].chords = with_chords.measures[m].chords;
  }
  Report passed_over;
  // All notes of the melody count, wherever they lie.
  arranging::Plan plan = arranging::plan_of(made.ground, arranging::melody_of(made.ground, passed_over),
                                            inferred, {}, Style::roll, highest_level);
  made.melody = std::move(plan.melody);
  made.ends_phrase = std::move(plan.ends_phrase);
  made.units = std::move(plan.units);
  return made;
}

std::vector<arranging::Tone> melody_tones(const Score& tune) {
  Report passed_over;
  return arranging::melody_of(melody_alone(tune), passed_over);
}

std::size_t unit_at(const StagedTune& tune, std::size_t measure, Fraction at) {
  const auto next =
      std::partition_point(tune.units.begin(), tune.units.end(), [&](const arranging::Unit& unit) {
        return unit.measure != measure ? unit.measure < measure : unit.at <= at;
      });
  return next == tune.units.begin() ? 0 : static_cast<std::size_t>(next - tune.units.begin()) - 1;
}

}  // namespace fifthpeg::licks
