#include "formats/midi/reader/swing.hpp"

#include <algorithm>
#include <cmath>

namespace fifthpeg::midi::reader {
namespace {

constexpr int least_swung_beats = 4;
constexpr double most_others = 0.1;  // beats against swing, for each beat for it
constexpr double near_beat = 0.08;   // an onset this close to the beat is on it

// Calls visit(bar, tick of the pair, its length, first onset, last onset) for each whole pair of `unit` that
// holds onsets. What comes `early` ticks before a pair belongs to it.
template <typename Visit>
void for_each_pair(const std::vector<std::int64_t>& onsets, const Bars& bars, Fraction unit, double early,
                   Visit visit) {
  for (std::size_t i = 0; i < onsets.size();) {
    const double onset = static_cast<double>(onsets[i]) + early;
    const Bar& b = bars.bars[bars.bar_at(onset)];
    const double ticks = b.ticks * (unit * 2 / b.length).to_double();
    const double index = std::max(0.0, std::floor((onset - b.tick) / ticks));
    const double end = b.tick + (index + 1.0) * ticks;
    std::size_t last = i + 1;
    const double barline = b.tick + b.ticks;
    const double until = std::min(end, barline);
    while (last < onsets.size() && static_cast<double>(onsets[last]) + early < until) ++last;
    // What is left at the end of a measure of five or nine is no pair.
    const bool whole = end < barline + 1.0;
    if (whole) visit(b, b.tick + index * ticks, ticks, i, last);
    i = last;
  }
}

}  // namespace

Straightener::Straightener(const std::vector<std::int64_t>& onsets, const TempoMap& map, const Bars& bars,
                           std::optional<Swing> stated) {
  double middle = 0.0;
  if (stated) {
    swing_ = stated;
    middle = static_cast<double>(stated->first) / (stated->first + stated->second);
    collect_pairs(onsets, map, bars, middle, 1.0);
  } else if (detect(onsets, map, bars, middle)) {
    swing_ = Swing{};
    collect_pairs(onsets, map, bars, middle, 0.0);
  }
}

bool Straightener::detect(const std::vector<std::int64_t>& onsets, const TempoMap& map, const Bars& bars,
                          double& middle) {
  int swung = 0;
  int others = 0;
  double sum = 0.0;
  for_each_pair(
      onsets, bars, Fraction(1, 8), near_beat * map.ticks_per_quarter,
      [&](const Bar& bar, double tick, double ticks, std::size_t first, std::size_t last) {
        const Meter& meter = bars.meter_of(bar);
        if (meter.is_compound() || meter.unit > 4 || last - first < 2) return;
        const auto share = [&](std::size_t i) { return (static_cast<double>(onsets[i]) - tick) / ticks; };
        if (last - first == 2 && std::abs(share(first)) < near_beat && share(first + 1) >= least_swing &&
            share(first + 1) <= most_swing) {
          ++swung;
          sum += share(first + 1);
        } else if (last - first == 2 && std::abs(share(first)) < near_beat && share(first + 1) > 0.7) {
          return;  // a dotted rhythm is written as such in swung music too
        } else {
          ++others;
        }
      });
  if (swung < least_swung_beats || others > most_others * swung) return false;
  middle = sum / swung;
  return true;
}

void Straightener::collect_pairs(const std::vector<std::int64_t>& onsets, const TempoMap& map,
                                 const Bars& bars, double middle, double slack_ticks) {
  const Swing& swing = *swing_;
  const double slack = std::max(slack_ticks, map.rounding);
  const double pair_ticks = 8.0 * swing.unit.to_double() * map.ticks_per_quarter;
  const double early = slack_ticks > 0 ? slack : near_beat * pair_ticks;
  for_each_pair(
      onsets, bars, swing.unit, early,
      [&](const Bar&, double tick, double ticks, std::size_t first, std::size_t last) {
        for (std::size_t i = first; i < last; ++i) {
          const double at = static_cast<double>(onsets[i]) - tick;
          const double from_middle = at - middle * ticks;
          const bool on_beat = slack_ticks > 0 ? std::abs(at) <= slack : std::abs(at / ticks) < near_beat;
          const bool on_middle = slack_ticks > 0 ? std::abs(from_middle) <= slack
                                                 : at / ticks >= least_swing && at / ticks <= most_swing;
          if (!on_beat && !on_middle) return;
        }
        pairs_.push_back({tick, ticks, middle});
      });
}

std::int64_t Straightener::straight(std::int64_t tick) const {
  if (pairs_.empty()) return tick;
  const auto at = static_cast<double>(tick);
  const auto after = std::upper_bound(pairs_.begin(), pairs_.end(), at,
                                      [](double t, const SwungPair& pair) { return t < pair.tick; });
  if (after == pairs_.begin()) return tick;
  const SwungPair& pair = *(after - 1);
  const double share = (at - pair.tick) / pair.ticks;
  if (share <= 0.0 || share >= 1.0) return tick;
  const double even =
      share <= pair.middle ? share / pair.middle / 2 : 0.5 + (share - pair.middle) / (1.0 - pair.middle) / 2;
  return std::llround(pair.tick + even * pair.ticks);
}

}  // namespace fifthpeg::midi::reader
