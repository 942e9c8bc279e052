#include "harmony/units.hpp"

#include <algorithm>
#include <cmath>

#include "harmony/weights.hpp"

namespace fifthpeg::harmony {
namespace {

// A measure this many times as long as its meter has no places that could be felt.
constexpr int longest_measure = 32;

void cut_measure(const Measure& measure, const BarCounter& counter, std::size_t index,
                 std::vector<Unit>& units) {
  const Fraction start = counter.start();
  const Fraction end = start + measure.length;
  std::vector<int> spans = chord_spans(measure.meter);
  const bool felt = measure.length <= measure.meter.length() * longest_measure;
  Fraction from;
  for (std::size_t i = 0; from < end; i = (i + 1) % spans.size()) {
    const Fraction to = felt ? from + Fraction(spans[i], measure.meter.unit) : end;
    const Fraction first = std::max(from, start);
    const Fraction last = std::min(to, end);
    if (first < last) {
      units.push_back({index, first - start, last - first, counter.bar(), first, {}, {}});
    }
    from = to;
  }
}

// How much what begins, or goes on, at `at` of a unit counts.
int importance(const Unit& unit, const Measure& measure, Fraction at) {
  if (at == 0) return unit.in_bar == 0 ? on_measure : on_half;
  return ((unit.in_bar + at) / measure.meter.beat()).is_whole() ? on_beat : off_beat;
}

void weigh_stroke(const Stroke& stroke, const Measure& measure, Unit& unit) {
  const Fraction from = std::max(stroke.onset, unit.at);
  const Fraction to = std::min(stroke.onset + stroke.duration, unit.at + unit.length);
  if (stroke.grace != Grace::none || from >= to) return;
  const std::int64_t ticks = ticks_of(to - from);
  for (const Note& note : stroke.notes) {
    if (!weighs(note)) continue;
    const std::size_t at = pitch_class_of(note.pitch.midi());
    unit.sounding.at(at) += ticks;
    unit.weight.at(at) += ticks * importance(unit, measure, from - unit.at);
  }
}

// So that a unit weighs the same however long it is, and chords no more than single notes.
void share_out(Unit& unit) {
  std::int64_t all = 0;
  for (const std::int64_t ticks : unit.sounding) all += ticks;
  all = std::max({all, ticks_of(unit.length), std::int64_t{1}});
  for (std::int64_t& weight : unit.weight) weight = weight * 100 / all;
}

void weigh_measure(const Measure& measure, std::vector<Unit>::iterator unit,
                   std::vector<Unit>::iterator end) {
  for (const Stroke& stroke : measure.strokes) {
    while (unit != end && unit->at + unit->length <= stroke.onset) ++unit;
    for (auto at = unit; at != end && at->at < stroke.onset + stroke.duration; ++at) {
      weigh_stroke(stroke, measure, *at);
    }
  }
}

}  // namespace

void BarCounter::next(const Measure& measure, bool is_last) {
  const Fraction full = measure.meter.length();
  pickup_ = can_be_pickup_ && !is_last && measure.length < full;
  const bool goes_on = !can_be_pickup_ && !pickup_ && end_ < full && end_ + measure.length <= full;
  start_ = pickup_ ? full - measure.length : goes_on ? end_ : Fraction{};
  end_ = start_ + measure.length;
  if (!goes_on) ++bar_;
  can_be_pickup_ = false;
}

std::int64_t ticks_of(Fraction time) {
  constexpr double to_whole = 40320;  // 2^7 * 3^2 * 5 * 7
  constexpr double most = 1000;
  return std::llround(std::min(time.to_double(), most) * to_whole);
}

bool weighs(const Note& note) {
  return !note.dead &&
         !(note.placement && note.placement->string == fifth_string && note.placement->fret == 0);
}

std::vector<int> chord_spans(const Meter& meter) {
  if (meter.beats.size() != 1) return meter.beats;
  const int units = meter.beats.front();
  if (units == 1 || units == 3) return {units};
  if (units % 3 == 0 && units != 12) return std::vector<int>(static_cast<std::size_t>(units / 3), 3);
  return {(units + 1) / 2, units / 2};
}

std::vector<Unit> units_of(const Score& score, std::size_t first, std::size_t end) {
  std::vector<Unit> units;
  BarCounter counter(first == 0);
  for (std::size_t m = first; m < end; ++m) {
    const Measure& measure = score.measures[m];
    counter.next(measure, m + 1 == score.measures.size());
    if (counter.is_pickup()) continue;
    const std::size_t begin = units.size();
    cut_measure(measure, counter, m, units);
    weigh_measure(measure, units.begin() + static_cast<std::ptrdiff_t>(begin), units.end());
    for (std::size_t i = begin; i < units.size(); ++i) share_out(units[i]);
  }
  return units;
}

}  // namespace fifthpeg::harmony
