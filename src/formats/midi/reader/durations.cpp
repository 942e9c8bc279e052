#include "formats/midi/reader/durations.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "engraving/find_tuplets.hpp"

namespace fifthpeg::midi::reader {
namespace {

// Grids on which an exact end may stand, in parts of a whole note, the usual ones first. The last ones only
// beside an onset of their kind: a note cut to four fifths of its length is no quintuplet.
constexpr std::array<int, 12> end_grids{4, 8, 16, 32, 12, 24, 48, 64, 20, 40, 28, 56};
constexpr std::size_t usual_end_grids = 8;
constexpr std::array<int, 2> played_grids{16, 12};

// A gap as short as this is a note that was let go early, not a rest.
const Fraction shortest_rest(1, 32);
constexpr double most_of_a_gap = 0.4;            // of the time to the next onset
constexpr double late_release = 0.1;             // of a beat
constexpr double longest_filled = 0.125 + 1e-6;  // whole notes

// A gate time is shared by so many notes, over at least two note values.
constexpr double gate_share = 0.7;
constexpr double ratio_width = 0.02;
constexpr double gap_width = 1.0;  // ticks
// Where a gate of the last note may end, in parts of a whole note: the coarsest grid is taken that has a
// point there.
constexpr std::array<int, 5> gate_grids{4, 8, 12, 16, 24};

// Ratios or gaps with the time to the next stroke.
using Silences = std::vector<std::pair<double, std::int64_t>>;

struct Shared {
  double value = 0.0;
  bool several = false;  // by notes of clearly different lengths
};

// What most of the values share (within `width`), if they are enough of `all`.
std::optional<Shared> common_value(Silences& values, double width, std::size_t all) {
  const double wanted = gate_share * static_cast<double>(all);
  if (values.empty() || static_cast<double>(values.size()) < wanted) return std::nullopt;
  // What more than half of them share, the one in the middle shares too: the others need not be sorted.
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  const double median = middle->first;
  std::erase_if(values, [&](const auto& value) { return std::abs(value.first - median) > width; });
  if (static_cast<double>(values.size()) < wanted) return std::nullopt;
  std::sort(values.begin(), values.end());
  std::size_t first = 0;
  for (std::size_t last = 0; last < values.size(); ++last) {
    while (values[last].first - values[first].first > width) ++first;
    if (static_cast<double>(last + 1 - first) < wanted) continue;
    const auto [shortest, longest] =
        std::minmax_element(values.begin() + static_cast<std::ptrdiff_t>(first),
                            values.begin() + static_cast<std::ptrdiff_t>(last + 1),
                            [](const auto& a, const auto& b) { return a.second < b.second; });
    const bool several = static_cast<double>(longest->second) >= 1.4 * static_cast<double>(shortest->second);
    return Shared{(values[first].first + values[last].first) / 2, several};
  }
  return std::nullopt;
}

}  // namespace

EndFinder::EndFinder(const TempoMap& map, const Bars& bars, EndsOf of, const std::vector<StrokeSpan>& strokes)
    : map_(map), bars_(bars), of_(of) {
  Silences ratios, gaps;     // of the strokes that end before the next one
  std::size_t followed = 0;  // strokes that have a next one
  for (const StrokeSpan& s : strokes) {
    const std::int64_t until_next = s.next_on - s.on;
    if (s.next_on < 0 || until_next <= 0) continue;
    ++followed;
    if (s.off >= s.next_on) continue;
    ratios.emplace_back(static_cast<double>(s.off - s.on) / static_cast<double>(until_next), until_next);
    gaps.emplace_back(static_cast<double>(s.next_on - s.off), until_next);
  }
  if (followed < 4) return;
  if (const auto gap = common_value(gaps, gap_width, followed)) {
    common_.gap = std::llround(gap->value);
    if (gap->several) gate_.gap = common_.gap;
  }
  if (const auto ratio = common_value(ratios, ratio_width, followed)) {
    common_.ratio = ratio->value;
    if (ratio->several) gate_.ratio = common_.ratio;
  }
}

bool EndFinder::is_gate(const StrokeSpan& s) const {
  const std::int64_t gap = s.next_on - s.off;
  if (gate_.gap > 0 && std::abs(gap - gate_.gap) <= 1) return true;
  const double ratio = static_cast<double>(s.off - s.on) / static_cast<double>(s.next_on - s.on);
  return gate_.ratio > 0 && std::abs(ratio - gate_.ratio) < ratio_width;
}

// A string rings until it is needed again, whenever the finger or the key is let go: which of these short
// silences are meant, no ear and no player can say, and repeats differ in them. Only who rests for a beat
// does so on purpose, and then from a beat on (common practice).
Fraction EndFinder::rung_out(const StrokeSpan& s) const {
  const Bar& bar = bars_.bars[bars_.bar_at(static_cast<double>(s.off))];
  const Fraction beat = bars_.meter_of(bar).beat();
  const double ticks_per_beat = beat.to_double() * bar.ticks / bar.length.to_double();
  const bool followed = s.next_on >= 0;
  if (followed && static_cast<double>(s.next_on - s.off) < ticks_per_beat) return s.next_at;
  const double beats = (static_cast<double>(s.off) - bar.tick) / ticks_per_beat;
  Fraction end = bar.start + std::min(bar.length, beat * std::llround(std::ceil(beats - late_release)));
  if (end <= s.at) end += beat;
  return followed ? std::min(end, s.next_at) : last_end(s, end);
}

// A long last note is held by feel: to the end of its measure, which lacks what the piece begins with as a
// pickup (common practice) unless the note sounds on into that.
Fraction EndFinder::last_end(const StrokeSpan& s, Fraction end) const {
  const Bar& bar = bars_.bars[bars_.bar_at(static_cast<double>(s.off))];
  const Fraction beat = bars_.meter_of(bar).beat();
  const Fraction without_pickup = bar.length - of_.pickup;
  const double beat_ticks = bar.tick_at(beat) - bar.tick;
  const bool lacks_pickup =
      of_.pickup > 0 && bar.start + without_pickup > s.at &&
      static_cast<double>(s.off) <= bar.tick_at(without_pickup) + late_release * beat_ticks;
  const Fraction full = lacks_pickup ? bar.start + without_pickup : bar.end();
  const bool is_long = end - s.at >= beat * 2 && full - end <= beat;
  return is_long ? full : std::min(end, full);
}

// Where the note would end without its gate, if there is a point of a usual grid. Where notes of one value
// leave it open whether they share a ratio or a gap, the one that leads to the coarser grid is meant.
std::optional<Fraction> EndFinder::before_gate(const StrokeSpan& s, const Gate& gate) const {
  std::vector<std::pair<double, double>> targets;  // a tick, and how far from it
  const double least_slack = std::max(gap_width, map_.rounding);
  if (gate.ratio > 0) {
    const auto sounding = static_cast<double>(s.off - s.on);
    const double slack = sounding / gate.ratio - sounding / (gate.ratio + ratio_width / 2);
    targets.emplace_back(static_cast<double>(s.on) + sounding / gate.ratio, std::max(slack, least_slack));
  }
  if (gate.gap > 0) targets.emplace_back(static_cast<double>(s.off + gate.gap), least_slack);
  const std::size_t index = bars_.bar_at(static_cast<double>(s.off));
  const Bar& bar = bars_.bars[index];
  for (const int den : gate_grids) {
    for (const auto& [tick, slack] : targets) {
      const Fraction offset = bars_.offset_at(index, tick, den);
      const Fraction end = bar.start + offset;
      if (end > s.at && std::abs(bar.tick_at(offset) - tick) <= slack) return end;
    }
  }
  return std::nullopt;
}

std::optional<Fraction> EndFinder::exact_end(const StrokeSpan& s) const {
  const auto tick = static_cast<double>(s.off);
  const Bar& bar = bars_.bars[bars_.bar_at(tick)];
  const double ticks_per_whole = bar.ticks / bar.length.to_double();
  const double offset = (tick - bar.tick) / ticks_per_whole;
  for (std::size_t i = 0; i < end_grids.size(); ++i) {
    const int den = end_grids.at(i);
    const int prime = den % 5 == 0 ? 5 : 7;
    if (i >= usual_end_grids && s.at.den() % prime != 0 && s.next_at.den() % prime != 0) continue;
    const double steps = std::round(offset * den);
    const double at = bar.tick + steps / den * ticks_per_whole;
    const bool whole = std::abs(at - std::round(at)) < 1e-6;
    if (std::abs(at - tick) > std::max(map_.rounding, whole ? 1e-6 : 0.999)) continue;
    return bar.start + std::min(bar.length, Fraction(static_cast<std::int64_t>(steps), den));
  }
  return std::nullopt;
}

Fraction EndFinder::find(const StrokeSpan& s) const {
  const bool followed = s.next_on >= 0;
  if (followed && s.off >= s.next_on) return s.next_at;
  if (followed && is_gate(s)) return s.next_at;
  if (of_.take) return rung_out(s);
  const auto in_bounds = [&](Fraction end, Fraction least) {
    if (end <= s.at) end = s.at + least;
    return followed ? std::min(end, s.next_at) : end;
  };
  if (!followed && !of_.step) {
    if (const auto end = before_gate(s, gate_)) return *end;
  }
  if (of_.exact && !of_.step) {
    if (const auto end = exact_end(s); end && *end > s.at) {
      if (followed) return s.next_at - *end < shortest_rest ? s.next_at : in_bounds(*end, Fraction(1, 16));
      // After the last note it is the next sixteenth that it was meant to reach.
      const Fraction sixteenth((*end * 16 + Fraction(15, 16)).floor(), 16);
      return sixteenth - *end < shortest_rest && engraving::is_plain(*end) ? sixteenth : *end;
    }
  }
  if (!followed && !of_.step) {
    if (const auto end = before_gate(s, common_)) return *end;
  }
  const double whole = 4.0 * map_.ticks_per_quarter;
  if (followed) {
    const auto gap = static_cast<double>(s.next_on - s.off);
    if (gap <= most_of_a_gap * static_cast<double>(s.next_on - s.on) && gap <= longest_filled * whole) {
      return s.next_at;
    }
  }
  const std::size_t index = bars_.bar_at(static_cast<double>(s.off));
  const Bar& bar = bars_.bars[index];
  if (of_.step) {
    const double steps =
        (static_cast<double>(s.off) - bar.tick) / bar.ticks * (bar.length / *of_.step).to_double();
    return in_bounds(bar.start + std::min(bar.length, Fraction(std::llround(steps)) * *of_.step), *of_.step);
  }
  // On the kind of grid that the onset stands on.
  const bool odd = s.at.den() % 3 == 0;
  const int den = played_grids[odd ? 1 : 0];
  const Fraction end =
      in_bounds(bar.start + bars_.offset_at(index, static_cast<double>(s.off), den), Fraction(1, den));
  return followed && s.next_at - end < Fraction(1, den) ? s.next_at : end;
}

}  // namespace fifthpeg::midi::reader
