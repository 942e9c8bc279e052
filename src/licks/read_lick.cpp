#include "licks/read_lick.hpp"

#include <algorithm>

#include "arrange/lick_extent.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/harmony.hpp"
#include "fifthpeg/licks.hpp"
#include "score/cut.hpp"

namespace fifthpeg::licks {
namespace {

constexpr Fraction unit_slot(1, 8);

bool stands_open(const Note& note) {
  return note.placement && note.placement->fret == 0 && note.placement->string != fifth_string;
}

bool can_move(const std::vector<Stroke>& strokes) {
  bool stops = false;
  for (const Stroke& stroke : strokes) {
    for (const Note& note : stroke.notes) {
      if (stands_open(note) || note.harmonic || note.dead || !note.placement) return false;
      stops = stops || note.placement->fret > 0;
    }
  }
  return stops;
}

// A grace note leads to the first of the notes alone.
std::vector<Placement> beginning_of(const std::vector<Stroke>& strokes) {
  const auto first = std::find_if(strokes.begin(), strokes.end(), [](const Stroke& stroke) {
    return stroke.grace == Grace::none && !stroke.is_rest();
  });
  std::vector<Placement> places;
  places.reserve(first->notes.size());
  for (const Note& note : first->notes) {
    if (note.placement && !note.harmonic && !note.dead) places.push_back(*note.placement);
  }
  return places;
}

arranging::LickAsks asks_of(const ReadLick& read) {
  const Score& lick = read.fingered;
  arranging::LickAsks asks;
  asks.slot = unit_slot;
  asks.span = arranging::spans_of(lick.measures.front().meter, unit_slot).front();
  const Fraction unit = arranging::start_of_unit(lick, unit_slot, read.start);
  asks.lead = read.start - unit;
  asks.length = read.end - unit;
  asks.chords.push_back({Fraction(), arranging::shape_at(lick, read.start)});
  Fraction at = counted_before(lick.measures.front());
  for (const Measure& measure : lick.measures) {
    for (const ChordSymbol& chord : measure.chords) {
      const Fraction here = at + chord.at;
      if (here > read.start && here < read.end)
        asks.chords.push_back({here - unit, arranging::shape_at(lick, here)});
    }
    at += measure.length;
  }
  asks.to = arranging::shape_at(lick, arranging::length_of(lick));
  if (read.landing) asks.landing = *read.landing - lick.banjo.open_midi(1);
  asks.beginning = beginning_of(read.fingered_strokes);
  return asks;
}

// What leads to the note that it lands on ends before it.
std::vector<Stroke> strokes_of(Score lick, const ReadLick& read) {
  if (read.landing) cut(lick.measures, lick.measures.size() - 1);
  const Fraction before = counted_before(lick.measures.front());
  return strokes_between(lick.measures, 0, read.start - before, read.end - before);
}

}  // namespace

std::vector<Stroke> strokes_between(const std::vector<Measure>& measures, std::size_t first, Fraction start,
                                    Fraction end) {
  std::vector<Stroke> strokes;
  Fraction at;
  for (std::size_t m = first; m < measures.size() && at < end; ++m) {
    for (const Stroke& stroke : measures[m].strokes) {
      const Fraction here = at + stroke.onset;
      if (here < start || here >= end) continue;
      strokes.push_back(stroke);
      strokes.back().onset = here - start;
    }
    at += measures[m].length;
  }
  while (!strokes.empty() && strokes.back().grace != Grace::none) strokes.pop_back();
  return strokes;
}

ReadLick read_lick(const Score& lick) {
  if (lick.measures.size() > longest_lick) {
    throw UsageError("too-long-for-a-lick", "has " + std::to_string(lick.measures.size()) +
                                                " measures; a lick has " + std::to_string(longest_lick) +
                                                " at most, so cut it to the measures that are meant");
  }
  const auto extent = arranging::extent_of(lick);
  if (!extent) throw UsageError("no-notes", "has no notes to play");
  ReadLick read;
  read.score = lick;
  read.start = extent->start;
  read.end = extent->end;
  const Measure& first = lick.measures.front();
  const Fraction barline = counted_before(first) + first.length;
  if (counted_before(first) > 0 && read.start < barline) read.pickup = barline - read.start;
  if (extent->landing != nullptr) read.landing = extent->landing->notes.front().pitch.midi();
  read.strokes = strokes_of(lick, read);
  read.fingered = lick;
  HandsOptions hands;
  hands.transpose = 0;
  hands.suggest_slurs = false;
  finger(read.fingered, hands);
  read.fingered_strokes = strokes_of(read.fingered, read);
  const bool has_chords = std::any_of(lick.measures.begin(), lick.measures.end(),
                                      [](const Measure& measure) { return !measure.chords.empty(); });
  if (!has_chords) add_inferred_chords(read.fingered);
  read.chords_inferred = !has_chords;
  read.can_move = can_move(read.fingered_strokes);
  read.asks = asks_of(read);
  read.leads_on = read.landing.has_value() || read.asks.to != read.asks.chord_at(read.asks.length);
  return read;
}

}  // namespace fifthpeg::licks
