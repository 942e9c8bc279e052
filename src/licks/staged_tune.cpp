#include "licks/staged_tune.hpp"

#include <algorithm>
#include <utility>

#include "arrange/phrases.hpp"
#include "fifthpeg/edit.hpp"
#include "fifthpeg/harmony.hpp"
#include "hands/source_fingering.hpp"

namespace fifthpeg::licks {
namespace {

using arranging::Tone;

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

// Of each tone, whether it goes on with the one before it: notes of one pitch, to the end of a phrase, are
// one that is held (common practice), and so is what comes after that end in its measure. Where a phrase has
// no other notes, those of its last measure are.
std::vector<bool> struck_again(const std::vector<Tone>& melody, const std::vector<bool>& ends) {
  std::vector<bool> again(melody.size(), false);
  const auto goes_on = [&](std::size_t i) {
    return i > 0 && melody[i - 1].midi == melody[i].midi &&
           (!ends[i - 1] || melody[i - 1].measure == melody[i].measure);
  };
  for (std::size_t end = 0; end < melody.size(); ++end) {
    if (!ends[end]) continue;
    std::size_t first = end;
    while (goes_on(first)) --first;
    const bool is_all = first == 0 || ends[first - 1];
    for (std::size_t i = end; i > first; --i) {
      if (is_all && melody[i - 1].measure != melody[end].measure) break;
      again[i] = true;
    }
  }
  return again;
}

std::vector<Tone> as_held(const std::vector<Tone>& melody, const std::vector<bool>& again) {
  std::vector<Tone> held;
  held.reserve(melody.size());
  for (std::size_t i = 0; i < melody.size(); ++i) {
    if (again[i]) {
      held.back().length = melody[i].at + melody[i].length - held.back().at;
    } else {
      held.push_back(melody[i]);
    }
  }
  return held;
}

// A phrase ends where its last note is first struck.
void hold(std::vector<arranging::Unit>& units, const std::vector<bool>& again) {
  bool resting = false;
  for (arranging::Unit& unit : units) {
    for (arranging::Wanted& note : unit.wanted) {
      note.struck_again = again[note.tone];
      if (!note.struck_again)
        resting = note.ends_phrase || (note.tone + 1 < again.size() && again[note.tone + 1]);
    }
    unit.ends_phrase = resting;
  }
}

}  // namespace

FitOptions as_played(const Score& tune, FitOptions options) {
  if (hands::given_by(tune).nail) options.style = Style::clawhammer;
  return options;
}

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
  const std::vector<bool> again = struck_again(made.melody, made.ends_phrase);
  made.held_melody = as_held(made.melody, again);
  made.held_ends_phrase.reserve(made.held_melody.size());
  for (std::size_t i = 0; i < again.size(); ++i) {
    if (again[i]) {
      made.held_ends_phrase.back() = made.ends_phrase[i] || made.held_ends_phrase.back();
    } else {
      made.held_ends_phrase.push_back(made.ends_phrase[i]);
    }
  }
  hold(made.units, again);
  return made;
}

std::vector<Tone> melody_tones(const Score& tune) {
  Report passed_over;
  return arranging::melody_of(melody_alone(tune), passed_over);
}

std::vector<Tone> held_melody_tones(const Score& tune) {
  const std::vector<Tone> melody = melody_tones(tune);
  const auto ends = arranging::phrase_ends(tune, melody, arranging::slot_of(tune, melody));
  return as_held(melody, struck_again(melody, ends));
}

std::size_t unit_at(const StagedTune& tune, std::size_t measure, Fraction at) {
  const auto next =
      std::partition_point(tune.units.begin(), tune.units.end(), [&](const arranging::Unit& unit) {
        return unit.measure != measure ? unit.measure < measure : unit.at <= at;
      });
  return next == tune.units.begin() ? 0 : static_cast<std::size_t>(next - tune.units.begin()) - 1;
}

}  // namespace fifthpeg::licks
