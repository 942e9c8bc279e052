#include "performance/clock.hpp"

#include <algorithm>
#include <numeric>
#include <string>
#include <utility>

#include "base/wide.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::performance {
namespace {

constexpr std::int64_t usual_resolution = 480;  // common practice of programs that write MIDI
constexpr std::int64_t highest_resolution = std::int64_t{1} << 24;
// Where no resolution is exact: a multiple of 480 and of all numbers up to 16.
constexpr int finest_resolution = 7'207'200;
constexpr std::int64_t finest_meter_unit = 128;
constexpr std::int64_t longest_piece = std::int64_t{1} << 52;  // ticks
// More notes than this come only from repeat signs gone wild.
constexpr std::uint64_t most_unfolded_strokes = 4'000'000;

bool is_short(const Measure& measure) {
  return measure.length < measure.meter.length();
}

// Whether a note begins here that takes time.
bool is_struck(const Stroke& stroke) {
  return stroke.grace == Grace::none &&
         std::any_of(stroke.notes.begin(), stroke.notes.end(),
                     [](const Note& note) { return !note.tied_from_previous; });
}

// Two short measures in a row that make up one whole, as at a repeat in the middle of a measure.
bool complete(const Measure& first, const Measure& second) {
  return first.meter == second.meter && is_short(first) && is_short(second) &&
         first.length + second.length == first.meter.length();
}

// The smallest resolution so far times what `time` needs; 0 once it is out of reach.
std::int64_t finer(std::int64_t resolution, Fraction time, std::int64_t highest) {
  if (resolution == 0) return 0;
  const std::int64_t needed = time.den() / std::gcd(time.den(), std::int64_t{4});
  if (needed > highest) return 0;
  const std::int64_t both = std::lcm(resolution, needed);
  return both > highest ? 0 : both;
}

}  // namespace

Fraction lead(const Score& score, std::size_t index) {
  const Measure& measure = score.measures[index];
  if (!is_short(measure) || (index != 0 && !measure.implicit)) return Fraction(0);
  return measure.meter.length() - measure.length;
}

bool pickup_after_rest(const Score& score) {
  const Measure& measure = score.measures.front();
  const Fraction before = lead(score, 0);
  if (before == 0) return false;
  if (score.measures.size() > 1 && score.measures[1].meter != measure.meter) return true;
  if (score.swing && score.swing->unit > 0 && !(before / (score.swing->unit * 2)).is_whole()) return true;
  // A time signature has a power of two below and a byte above (Standard MIDI Files 1.0).
  const std::int64_t unit = std::lcm<std::int64_t>(measure.meter.unit, measure.length.den());
  const bool power_of_two = (unit & (unit - 1)) == 0;
  return !power_of_two || unit > finest_meter_unit || (measure.length * unit).num() > 255;
}

SwungMeasure::SwungMeasure(const Score& score, const Played& played) {
  if (!score.swing) return;
  const Swing& swing = *score.swing;
  if (swing.unit <= 0 || swing.first < 1 || swing.second < 1) return;
  const Measure& measure = score.measures[played.index];
  const Fraction before = lead(score, played.index);
  swing_ = &swing;
  pair_ = swing.unit * 2;
  // Whole pairs only, or the barline would move.
  const bool joined = played.goes_on_from_previous || played.counted_from_bar;
  const Fraction from = joined ? Fraction(0) : before;
  const Fraction to = played.goes_on_in_next ? measure.meter.length() : before + measure.length;
  const std::int64_t pairs = std::min<std::int64_t>((to / pair_).floor(), 1'000'000);
  swung_.assign(static_cast<std::size_t>(std::max<std::int64_t>(0, pairs)), true);
  for (std::int64_t pair = 0; pair < pairs && pair_ * pair < from; ++pair) {
    swung_[static_cast<std::size_t>(pair)] = false;
  }
  std::vector<bool> struck(swung_.size(), false);
  for (const Stroke& stroke : measure.strokes) {
    if (!is_struck(stroke)) continue;
    const Fraction at = (before + stroke.onset) / swing.unit;
    const auto pair = static_cast<std::size_t>((at / 2).floor());
    if (pair >= swung_.size()) continue;
    struck[pair] = true;
    if (!at.is_whole()) swung_[pair] = false;
  }
  for (std::size_t pair = 0; pair < swung_.size(); ++pair) swung_[pair] = swung_[pair] && struck[pair];
}

Fraction SwungMeasure::operator()(Fraction from_bar) const {
  if (swing_ == nullptr || from_bar < 0) return from_bar;
  const std::int64_t index = (from_bar / pair_).floor();
  if (static_cast<std::uint64_t>(index) >= swung_.size() || !swung_[static_cast<std::size_t>(index)])
    return from_bar;
  const Fraction start = pair_ * index;
  const Fraction inside = from_bar - start;
  const Fraction total = Fraction(swing_->first) + swing_->second;
  const Fraction middle = pair_ * swing_->first / total;
  if (inside <= swing_->unit) return start + middle * inside / swing_->unit;
  return start + middle + (pair_ - middle) * (inside - swing_->unit) / swing_->unit;
}

std::int64_t exact_resolution(const Score& score, std::int64_t highest) {
  std::int64_t exact = usual_resolution;
  const auto refine = [&](Fraction time) { exact = finer(exact, time, highest); };
  if (score.swing && score.swing->first > 0 && score.swing->second > 0) {
    const Fraction total = Fraction(score.swing->first) + score.swing->second;
    refine(score.swing->unit * 2 * score.swing->first / total);
  }
  for (const Measure& measure : score.measures) {
    refine(measure.length);
    refine(lead(score, static_cast<std::size_t>(&measure - score.measures.data())));
    for (const Stroke& stroke : measure.strokes) refine(stroke.onset);
    for (const Tempo& tempo : measure.tempos) refine(tempo.at);
    for (const KeyChange& change : measure.key_changes) refine(change.at);
    for (const ChordSymbol& chord : measure.chords) refine(chord.at);
    for (const Direction& direction : measure.directions) refine(direction.at);
  }
  return exact;
}

Clock::Clock(const Score& score, const PerformOptions& options)
    : ticks_per_quarter_(options.ticks_per_quarter) {
  if (ticks_per_quarter_ < 0 || ticks_per_quarter_ > highest_resolution) {
    throw UsageError("ticks-out-of-range",
                     "there can be 1 to " + std::to_string(highest_resolution) +
                         " ticks a quarter note, not " + std::to_string(ticks_per_quarter_),
                     {}, {{}, {}, highest_resolution});
  }
  if (ticks_per_quarter_ == 0) {
    const std::int64_t exact = exact_resolution(score, highest_resolution);
    ticks_per_quarter_ = exact > 0 ? static_cast<int>(exact) : finest_resolution;
  }
  lay_out(score, order_of(score, options.unfold_repeats));
}

std::vector<std::size_t> Clock::order_of(const Score& score, bool unfold) {
  std::vector<std::size_t> straight(score.measures.size());
  std::iota(straight.begin(), straight.end(), std::size_t{0});
  if (!unfold) return straight;
  PlayingOrder order = playing_order(score);
  std::uint64_t strokes = 0;
  for (const std::size_t index : order.measures) strokes += score.measures[index].strokes.size();
  repeats_ignored_ =
      order.bounded || (strokes > most_unfolded_strokes && order.measures.size() > straight.size());
  return repeats_ignored_ ? straight : std::move(order.measures);
}

void Clock::lay_out(const Score& score, const std::vector<std::size_t>& order) {
  for (const std::size_t index : order) {
    Played next;
    next.index = index;
    if (played_.empty()) {
      next.counted_from_bar = pickup_after_rest(score);
      if (!next.counted_from_bar) next.bar = -ticks(lead(score, index));
    } else {
      Played& previous = played_.back();
      next.bar = previous.end - ticks(lead(score, index));
      const bool from_barline = !previous.goes_on_from_previous && lead(score, previous.index) == 0;
      if (lead(score, index) > 0 && from_barline &&
          complete(score.measures[previous.index], score.measures[index])) {
        next.goes_on_from_previous = previous.goes_on_in_next = true;
        next.bar = previous.bar;
      }
      // The end of the previous measure may move when it goes on in this one, never its barline.
      const SwungMeasure swung(score, previous);
      const Fraction before = lead(score, previous.index);
      previous.end = previous.bar + ticks(swung(before + score.measures[previous.index].length));
    }
    const SwungMeasure swung(score, next);
    next.start = next.bar + ticks(swung(lead(score, index)));
    next.end = next.bar + ticks(swung(lead(score, index) + score.measures[index].length));
    if (next.end > longest_piece) refuse_time();
    played_.push_back(next);
  }
}

std::int64_t Clock::ticks(Fraction length) const {
  const base::Wide whole = base::Wide{length.num()} * 4 * ticks_per_quarter_;
  const base::Wide den = length.den();
  const base::Wide nearest = (2 * whole + den) / (2 * den);
  return static_cast<std::int64_t>(std::clamp<base::Wide>(nearest, 0, longest_piece + 1));
}

}  // namespace fifthpeg::performance
