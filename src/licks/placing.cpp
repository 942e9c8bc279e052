#include "licks/placing.hpp"

#include <algorithm>
#include <string>
#include <utility>

#include "arrange/lick_room.hpp"
#include "arrange/licks.hpp"
#include "fifthpeg/edit.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::licks {
namespace {

Place place_in(const Score& tune, std::size_t measure, Fraction at) {
  const Measure& there = tune.measures[measure];
  return {{}, there.number, beat_at(there, at), 0, -1, 0};
}

}  // namespace

void require_same_strings(const Banjo& tune, const Banjo& lick) {
  if (arranging::lie_alike(tune, lick)) return;
  throw UnplayableError("lick-for-other-tuning", "the lick is for " + to_string(lick.tuning) +
                                                     ", and the tune is in " + to_string(tune.tuning) +
                                                     "; put it into a tune in its own tuning");
}

int half_steps_for(const Banjo& tune, const Banjo& lick, int frets) {
  return tune.open_midi(1) - lick.open_midi(1) + frets;
}
int frets_for(const Banjo& tune, const Banjo& lick, int half_steps) {
  return half_steps - half_steps_for(tune, lick, 0);
}

std::vector<Stroke> moved_strokes(std::vector<Stroke> strokes, const Banjo& from, const Score& tune,
                                  std::size_t measure, int half_steps) {
  const int frets = frets_for(tune.banjo, from, half_steps);
  const Key& key = tune.measures[measure].key;
  const auto move = [&](Note& note) {
    const bool stays_open = frets != 0 && note.placement && note.placement->fret == 0;
    const int by = stays_open ? half_steps - frets : half_steps;
    if (by != 0) note.pitch = spell(note.pitch.midi() + by, key);
    if (!note.placement) return;
    if (stays_open && note.placement->string != fifth_string) {
      throw UnplayableError("lick-off-neck",
                            "the lick has open strings, which do not move up the neck with it; use a capo");
    }
    if (frets != 0 && !stays_open)
      note.placement->fret = static_cast<std::int8_t>(note.placement->fret + frets);
    if (frets != 0 && (stays_open ? false : note.placement->fret <= 0)) {
      throw UnplayableError("lick-off-neck", "the lick would move off the neck: there are no frets that low");
    }
    if (gives(tune.banjo, *note.placement, note)) return;
    throw UnplayableError("lick-off-neck", "the banjo of the tune has no fret " +
                                               std::to_string(note.placement->fret) + " on string " +
                                               std::to_string(note.placement->string) +
                                               ", which the lick needs; take it with another capo");
  };
  for (Stroke& stroke : strokes) {
    for (Note& note : stroke.notes) move(note);
    std::stable_sort(stroke.notes.begin(), stroke.notes.end(),
                     [](const Note& a, const Note& b) { return a.pitch.midi() > b.pitch.midi(); });
  }
  return strokes;
}

Stretch stretch_of(const Score& tune, std::size_t measure, Fraction at, Fraction length, bool in_one_ending) {
  if (measure >= tune.measures.size() || at < 0 || at >= tune.measures[measure].length)
    throw UsageError("no-such-measure", "there is no such place in the tune");
  Stretch stretch{measure, at, measure, at};
  for (Fraction left = length; left > 0;) {
    const Measure& here = tune.measures[stretch.last];
    if (here.ending && !in_one_ending) {
      throw UnplayableError("lick-in-one-ending",
                            "the measure is of one ending of several, which alone would have the lick",
                            place_in(tune, stretch.last, stretch.to));
    }
    const Fraction room = here.length - stretch.to;
    if (left <= room) {
      stretch.to += left;
      break;
    }
    left -= room;
    if (stretch.last + 1 == tune.measures.size()) {
      throw UnplayableError("lick-over-end", "the tune ends before the lick would; begin it earlier",
                            place_in(tune, measure, at));
    }
    ++stretch.last;
    stretch.to = 0;
    if (!arranging::follows_at_once(tune, stretch.last)) {
      throw UnplayableError(
          "lick-over-repeat",
          "the lick would lie over a repeat, an ending or a jump, so that its parts would not be "
          "played one after the other",
          place_in(tune, stretch.last, Fraction()));
    }
  }
  return stretch;
}

Score put_in(const Score& tune, const Stretch& stretch, std::vector<Stroke> strokes) {
  const Measure& last = tune.measures[stretch.last];
  Fraction end = stretch.to;
  for (const Stroke& stroke : last.strokes) {
    if (stroke.grace == Grace::none && stroke.onset < stretch.to && !stroke.is_rest() &&
        stroke.tuplets.empty())
      end = std::max(end, stroke.onset + stroke.duration);
  }
  Stroke& closing = strokes.back();
  const bool is_stopped = std::any_of(closing.notes.begin(), closing.notes.end(),
                                      [](const Note& note) { return note.ring == Ring::damp || note.dead; });
  if (end > stretch.to && closing.tuplets.empty() && !closing.is_rest() && !is_stopped &&
      !closing.articulations.staccato) {
    closing.duration += end - stretch.to;
    closing.unparted = false;
  }
  Score result = tune;
  try {
    lay_over(result, stretch.first, stretch.from, std::move(strokes));
  } catch (const UsageError& error) {
    if (error.code() == "stroke-over-barline") {
      throw UnplayableError(
          "lick-over-barline",
          "a note of the lick would lie over a barline; begin it on the beat that it is written from",
          error.place());
    }
    if (error.code() != "tuplet-parted") throw;
    throw UnplayableError(error.code(),
                          "the lick would begin or end inside a triplet or the like; choose a beat beside it",
                          error.place());
  }
  return result;
}

}  // namespace fifthpeg::licks
