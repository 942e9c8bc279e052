#include "licks/read_lick.hpp"

#include <algorithm>

#include "arrange/lick_extent.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/harmony.hpp"
#include "hands/source_fingering.hpp"
#include "licks/require_lick.hpp"
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
  const Score& lick = read.score;
  const LickTime& time = read.time;
  arranging::LickAsks asks;
  asks.slot = unit_slot;
  asks.span = arranging::spans_of(lick.measures.front().meter, unit_slot).front();
  const Fraction unit = arranging::start_of_unit(lick, unit_slot, time.start);
  asks.lead = time.start - unit;
  asks.length = time.end - unit;
  asks.chords.push_back({Fraction(), arranging::shape_at(lick, time.start)});
  Fraction at = counted_before(lick.measures.front());
  for (const Measure& measure : lick.measures) {
    for (const ChordSymbol& chord : measure.chords) {
      const Fraction here = at + chord.at;
      if (here > time.start && here < time.end)
        asks.chords.push_back({here - unit, arranging::shape_at(lick, here)});
    }
    at += measure.length;
  }
  asks.to = arranging::shape_at(lick, arranging::length_of(lick));
  if (read.landing) asks.landing = *read.landing - lick.banjo.open_midi(1);
  asks.beginning = beginning_of(time.strokes);
  return asks;
}

// What leads to the note that it lands on ends before it.
std::vector<Stroke> strokes_of(Score lick, const LickTime& time) {
  if (time.lands) cut(lick.measures, lick.measures.size() - 1);
  const Fraction before = counted_before(lick.measures.front());
  return strokes_between(lick.measures, 0, time.start - before, time.end - before);
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

LickTime lick_time(const Score& lick) {
  require_lick(lick);
  const auto extent = arranging::extent_of(lick);
  if (!extent) throw UsageError("no-notes", "there are no notes in it but those that it lands on");
  LickTime time;
  time.start = extent->start;
  time.end = extent->end;
  time.lands = extent->landing != nullptr;
  const Measure& first = lick.measures.front();
  const Fraction barline = counted_before(first) + first.length;
  if (counted_before(first) > 0 && time.start < barline) time.pickup = barline - time.start;
  time.strokes = strokes_of(lick, time);
  return time;
}

bool is_picked(const Score& lick) {
  return std::any_of(lick.measures.begin(), lick.measures.end(), [](const Measure& measure) {
    return std::any_of(measure.strokes.begin(), measure.strokes.end(), [](const Stroke& stroke) {
      return std::any_of(stroke.notes.begin(), stroke.notes.end(), [](const Note& note) {
        return note.picking_finger == PickingFinger::index || note.picking_finger == PickingFinger::middle;
      });
    });
  });
}

ReadLick read_lick(const Score& lick, Style style) {
  ReadLick read;
  read.time = lick_time(lick);
  read.score = lick;
  HandsOptions complete = hands::to_complete(lick);
  if (!is_picked(lick) && style == Style::clawhammer) complete.style = style;
  finger(read.score, complete);
  read.time.strokes = strokes_of(read.score, read.time);
  if (read.time.lands) read.landing = arranging::extent_of(read.score)->landing->notes.front().pitch.midi();
  const bool has_chords = std::any_of(lick.measures.begin(), lick.measures.end(),
                                      [](const Measure& measure) { return !measure.chords.empty(); });
  if (!has_chords) add_inferred_chords(read.score);
  read.can_move = can_move(read.time.strokes);
  read.asks = asks_of(read);
  read.leads_on = read.time.lands || read.asks.to != read.asks.chord_at(read.asks.length);
  return read;
}

}  // namespace fifthpeg::licks
