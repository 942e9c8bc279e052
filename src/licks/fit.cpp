// A lick is put into a tune.
#include <algorithm>
#include <string>
#include <utility>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/licks.hpp"
#include "licks/placing.hpp"
#include "licks/read_lick.hpp"
#include "licks/seams.hpp"
#include "licks/staged_tune.hpp"
#include "score/cut.hpp"

namespace fifthpeg {
namespace {

using arranging::Tone;
using licks::Stretch;

// More are counted only.
constexpr std::size_t most_notes_named = 8;

// A time of the tune, from its first measure on.
class TuneTime {
 public:
  explicit TuneTime(const Score& tune) {
    starts_.reserve(tune.measures.size());
    Fraction start;
    for (const Measure& measure : tune.measures) {
      starts_.push_back(start);
      start += measure.length;
    }
  }
  Fraction at(std::size_t measure, Fraction in_measure) const { return starts_[measure] + in_measure; }

 private:
  std::vector<Fraction> starts_;
};

bool plays(const std::vector<Stroke>& strokes, Fraction at, int midi) {
  return std::any_of(strokes.begin(), strokes.end(), [&](const Stroke& stroke) {
    return stroke.grace == Grace::none && stroke.onset == at &&
           std::any_of(stroke.notes.begin(), stroke.notes.end(), [midi](const Note& note) {
             return note.pitch.midi() == midi && !note.tied_from_previous;
           });
  });
}

// What a lick's notes are for: the melody's own stay the melody's, where the tune says so.
void give_roles(std::vector<Stroke>& strokes, const std::vector<Tone>& melody, Fraction start, bool marked) {
  for (Stroke& stroke : strokes) {
    for (Note& note : stroke.notes) {
      const bool own = marked && std::any_of(melody.begin(), melody.end(), [&](const Tone& tone) {
                         return stroke.grace == Grace::none && tone.at == start + stroke.onset &&
                                tone.midi == note.pitch.midi();
                       });
      note.role = own ? Role::melody : Role::lick;
    }
  }
}

// The melody's notes that begin in the lick's time and are not played by it.
void report_replaced(const Score& tune, const std::vector<Tone>& melody, const std::vector<Stroke>& strokes,
                     Fraction start, Fraction end, Report& report) {
  std::string text;
  std::size_t count = 0;
  Place first;
  for (const Tone& tone : melody) {
    if (tone.at < start || tone.at >= end || plays(strokes, tone.at - start, tone.midi)) continue;
    const Measure& measure = tune.measures[tone.measure];
    const Place place{{}, measure.number, beat_at(measure, tone.in_measure), 0, -1, 0};
    if (count == 0) first = place;
    if (++count > most_notes_named) continue;
    if (!text.empty()) text += ", ";
    text += to_string(spell(tone.midi, measure.key));
  }
  if (count == 0) return;
  if (count > most_notes_named) text += " and " + std::to_string(count - most_notes_named) + " more";
  report.add(
      EntryKind::decision, "melody-replaced",
      (count == 1 ? "the lick stands in place of a note of the melody: "
                  : "the lick stands in place of " + std::to_string(count) + " notes of the melody: ") +
          text,
      first);
}

// What the tune plays there, by itself.
std::vector<Stroke> played_now(const Score& tune, const Stretch& stretch, Fraction length) {
  std::vector<Measure> measures = tune.measures;
  const auto index_of = [&](std::size_t measure, Fraction at) {
    const auto& strokes = measures[measure].strokes;
    const auto found = std::find_if(strokes.begin(), strokes.end(),
                                    [at](const Stroke& stroke) { return stroke.onset >= at; });
    return static_cast<std::size_t>(found - strokes.begin());
  };
  cut(measures, stretch.first, index_of(stretch.first, stretch.from));
  cut(measures, stretch.last, index_of(stretch.last, stretch.to));
  return licks::strokes_between(measures, stretch.first, stretch.from, stretch.from + length);
}

}  // namespace

Fitted fit_lick(const Score& tune, const Score& lick, const LickPlace& place, const FitOptions& asked) {
  const FitOptions options = licks::as_played(tune, asked);
  const licks::LickTime time = licks::lick_time(lick);
  licks::require_same_strings(tune.banjo, lick.banjo);
  const Fraction length = time.end - time.start;
  const Stretch stretch = licks::stretch_of(tune, place.measure, place.at, length, options.in_one_ending);
  const std::vector<Tone> melody = licks::melody_tones(tune);
  const bool marked = has_role(tune, Role::melody);
  const Fraction start = TuneTime(tune).at(stretch.first, stretch.from);
  const auto prepared = [&](const std::vector<Stroke>& strokes, const Banjo& banjo) {
    auto moved = licks::moved_strokes(strokes, banjo, tune, stretch.first, place.half_steps);
    give_roles(moved, melody, start, marked);
    return moved;
  };
  Fitted fitted;
  fitted.first = stretch.first;
  fitted.last = stretch.last;
  if (prepared(time.strokes, lick.banjo) == played_now(tune, stretch, length)) {
    fitted.score = tune;
    fitted.report.add(EntryKind::decision, "lick-there-already", "the tune plays the lick there already");
    return fitted;
  }
  std::vector<Stroke> strokes = prepared(licks::read_lick(lick, options.style).time.strokes, lick.banjo);
  report_replaced(tune, licks::held_melody_tones(tune), strokes, start, start + length, fitted.report);
  fitted.score = licks::put_in(tune, stretch, std::move(strokes));
  fitted.report.merge(licks::finger_seams(fitted.score, stretch, options.style));
  return fitted;
}

}  // namespace fifthpeg
