#include "arrange/lick_room.hpp"

#include <algorithm>

#include "arrange/licks.hpp"
#include "score/playing_order.hpp"

namespace fifthpeg::arranging {
namespace {

Fraction time_of(const Unit& unit) {
  return unit.slot * Fraction(unit.slots);
}

bool leads_away(const Direction& direction) {
  return is_jump(direction) && direction.kind != Direction::Kind::segno &&
         direction.kind != Direction::Kind::coda;
}
bool is_led_to(const Direction& direction) {
  return direction.kind == Direction::Kind::segno || direction.kind == Direction::Kind::coda;
}

}  // namespace

int LickAsks::chord_at(Fraction at) const {
  int shape = chords.empty() ? -1 : chords.front().shape;
  for (const LickChord& chord : chords) {
    if (chord.at > at) break;
    shape = chord.shape;
  }
  return shape;
}

LickAsks moved(LickAsks asks, int half_steps) {
  const auto move = [half_steps](int& shape) {
    if (shape >= 0) shape = pitch_class(shape + half_steps) + (shape >= 12 ? 12 : 0);
  };
  for (LickChord& chord : asks.chords) move(chord.shape);
  move(asks.to);
  if (asks.landing) *asks.landing += half_steps;
  for (Placement& one : asks.beginning) {
    if (one.fret > 0) one.fret = static_cast<std::int8_t>(one.fret + half_steps);
  }
  return asks;
}

bool LickRoom::is_free() const {
  return std::none_of(against.begin(), against.end(), [](const auto& unit) { return unit.has_value(); });
}

bool follows_at_once(const Score& score, std::size_t measure) {
  if (measure == 0) return true;
  const Measure& before = score.measures[measure - 1];
  const Measure& here = score.measures[measure];
  if (before.repeat_times > 0 || here.repeat_starts || (here.ending && here.ending->starts)) return false;
  return std::none_of(before.directions.begin(), before.directions.end(), leads_away) &&
         std::none_of(here.directions.begin(), here.directions.end(), is_led_to);
}

LickRoom LickStage::room_for(const LickAsks& asks, std::size_t first) const {
  LickRoom found;
  const auto object = [&](Objection objection, std::size_t unit) {
    auto& against = found.against.at(static_cast<std::size_t>(objection));
    if (!against) against = unit;
  };
  std::size_t u = first;
  for (Fraction from; from < asks.length; from += time_of(units_[u++])) {
    if (u == units_.size()) {
      object(Objection::tune_ends, u - 1);
      break;
    }
    const Unit& unit = units_[u];
    if (reaches_next_break(unit)) object(Objection::next_break, u);
    if (u > first && !is_next(u)) object(Objection::parted, u);
    if (unit.pickup) object(Objection::pickup, u);
    if (spans_of(score_.measures[unit.measure].meter, asks.slot).front() != asks.span)
      object(Objection::meter, u);
    if (!unit.harmony.known) {
      object(Objection::no_chord, u);
    } else if (shape_in(unit) != asks.chord_at(std::max(from, asks.lead))) {
      object(Objection::chord, u);
    }
    if (!is_free(asks, unit, from)) object(Objection::melody, u);
    if (!unit.ends_phrase) object(Objection::no_phrase_end, u);
  }
  found.end = u;
  if (shape_of(units_[u - 1].next_chord, banjo_) != asks.to) object(Objection::next_chord, u - 1);
  if (asks.landing && !lands(asks, u)) object(Objection::landing, std::min(u, units_.size() - 1));
  return found;
}

bool LickStage::reaches_next_break(const Unit& unit) const {
  return unit.measure + 1 == score_.measures.size() &&
         unit.at + time_of(unit) > score_.measures.back().length - room_;
}

bool LickStage::is_next(std::size_t u) const {
  return units_[u].measure == units_[u - 1].measure || follows_at_once(score_, units_[u].measure);
}

// A note of the melody is in nobody's way that comes before or after the lick, or is the end of a phrase with
// which the lick begins.
bool LickStage::is_free(const LickAsks& asks, const Unit& unit, Fraction from) const {
  return std::all_of(unit.wanted.begin(), unit.wanted.end(), [&](const Wanted& note) {
    const Fraction at = from + unit.slot * Fraction(note.slot);
    if (note.struck_again || (takes_ == Takes::its_time && (at < asks.lead || at >= asks.length)))
      return true;
    return at == asks.lead && (takes_ == Takes::its_time || (note.slot == 0 && note.ends_phrase)) &&
           begins_with(asks, note.midi);
  });
}

bool LickStage::begins_with(const LickAsks& asks, int midi) const {
  return std::any_of(asks.beginning.begin(), asks.beginning.end(),
                     [&](Placement one) { return banjo_.midi_at(one) == midi; });
}

bool LickStage::lands(const LickAsks& asks, std::size_t next) const {
  if (next == units_.size() || !units_[next].begins_measure || !is_next(next)) return false;
  const auto& wanted = units_[next].wanted;
  return !wanted.empty() && wanted.front().slot == 0 &&
         wanted.front().midi == banjo_.open_midi(1) + *asks.landing;
}

int LickStage::shape_in(const Unit& unit) const {
  return shape_of(unit.harmony.hands, banjo_);
}

}  // namespace fifthpeg::arranging
