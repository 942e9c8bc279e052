#include <algorithm>
#include <array>
#include <cmath>

#include "read/smf/quantise.hpp"

namespace fifthpeg::smf_read {
namespace {

// Grids on which an exact end may stand, in parts of a whole note, the usual ones first. The last ones only
// beside an onset of their kind: a note cut to four fifths of its length is no quintuplet.
constexpr std::array<int, 12> end_grids{4, 8, 16, 32, 12, 24, 48, 64, 20, 40, 28, 56};
constexpr std::size_t usual_end_grids = 8;
constexpr std::array<int, 2> played_grids{16, 12};

// A gap as short as this is a note that was let go early, not a rest.
const Fraction shortest_rest(1, 32);
constexpr double most_of_a_gap = 0.4;            // of the time to the next onset
constexpr double longest_filled = 0.125 + 1e-6;  // whole notes

// A gate time is found where so many notes share it, over at least two note values.
constexpr double gate_share = 0.7;

bool is_power_of_two(std::int64_t value) {
  return (value & (value - 1)) == 0;
}

// The value that most of the sorted ones share (within `width`), if they are enough of `all`.
std::optional<double> common_value(std::vector<std::pair<double, std::int64_t>>& values, double width,
                                   std::size_t all) {
  std::sort(values.begin(), values.end());
  std::size_t first = 0;
  for (std::size_t last = 0; last < values.size(); ++last) {
    while (values[last].first - values[first].first > width) ++first;
    if (static_cast<double>(last + 1 - first) < gate_share * static_cast<double>(all)) continue;
    const auto [shortest, longest] =
        std::minmax_element(values.begin() + static_cast<std::ptrdiff_t>(first),
                            values.begin() + static_cast<std::ptrdiff_t>(last + 1),
                            [](const auto& a, const auto& b) { return a.second < b.second; });
    if (static_cast<double>(longest->second) < 1.4 * static_cast<double>(shortest->second))
      return std::nullopt;
    return (values[first].first + values[last].first) / 2;
  }
  return std::nullopt;
}

}  // namespace

void Ends::learn(const std::vector<Sounding>& strokes) {
  std::vector<std::pair<double, std::int64_t>> ratios;
  std::vector<std::pair<double, std::int64_t>> gaps;
  std::size_t followed = 0;
  for (const Sounding& s : strokes) {
    const std::int64_t until_next = s.next_on - s.on;
    if (s.next_on < 0 || until_next <= 0) continue;
    ++followed;
    if (s.off >= s.next_on) continue;
    ratios.emplace_back(static_cast<double>(s.off - s.on) / static_cast<double>(until_next), until_next);
    gaps.emplace_back(static_cast<double>(s.next_on - s.off), until_next);
  }
  if (followed < 4) return;
  if (const auto gap = common_value(gaps, 1.0, followed)) gate_gap_ = std::llround(*gap);
  if (const auto ratio = common_value(ratios, 0.02, followed)) gate_ratio_ = *ratio;
}

bool Ends::is_gate(const Sounding& s) const {
  const std::int64_t gap = s.next_on - s.off;
  if (gate_gap_ > 0 && std::abs(gap - gate_gap_) <= 1) return true;
  const double ratio = static_cast<double>(s.off - s.on) / static_cast<double>(s.next_on - s.on);
  return gate_ratio_ > 0 && std::abs(ratio - gate_ratio_) < 0.02;
}

std::optional<Fraction> Ends::exact_end(const Sounding& s) {
  const auto tick = static_cast<double>(s.off);
  hint_ = bars_.bar_at(tick, hint_);
  const Bar& bar = bars_.bars[hint_];
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

Fraction Ends::find(const Sounding& s) {
  const bool followed = s.next_on >= 0;
  if (followed && s.off >= s.next_on) return s.next_at;
  if (followed && is_gate(s)) return s.next_at;
  const auto in_bounds = [&](Fraction end, Fraction least) {
    if (end <= s.at) end = s.at + least;
    return followed ? std::min(end, s.next_at) : end;
  };
  if (exact_ && !step_) {
    if (const auto end = exact_end(s); end && *end > s.at) {
      if (followed) return s.next_at - *end < shortest_rest ? s.next_at : in_bounds(*end, Fraction(1, 16));
      // After the last note it is the next sixteenth that it was meant to reach.
      const Fraction sixteenth((*end * 16 + Fraction(15, 16)).floor(), 16);
      return sixteenth - *end < shortest_rest && is_power_of_two(end->den()) ? sixteenth : *end;
    }
  }
  const double whole = 4.0 * map_.ticks_per_quarter;
  if (followed) {
    const auto gap = static_cast<double>(s.next_on - s.off);
    if (gap <= most_of_a_gap * static_cast<double>(s.next_on - s.on) && gap <= longest_filled * whole) {
      return s.next_at;
    }
  }
  hint_ = bars_.bar_at(static_cast<double>(s.off), hint_);
  const Bar& bar = bars_.bars[hint_];
  if (step_) {
    const double steps =
        (static_cast<double>(s.off) - bar.tick) / bar.ticks * (bar.length / *step_).to_double();
    return in_bounds(bar.start + std::min(bar.length, Fraction(std::llround(steps)) * *step_), *step_);
  }
  // On the kind of grid that the onset stands on.
  const bool odd = s.at.den() % 3 == 0;
  const int den = played_grids[odd ? 1 : 0];
  const Fraction end =
      in_bounds(bar.start + bars_.offset_at(hint_, static_cast<double>(s.off), den), Fraction(1, den));
  return followed && s.next_at - end < Fraction(1, den) ? s.next_at : end;
}

}  // namespace fifthpeg::smf_read
