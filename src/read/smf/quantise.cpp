#include "read/smf/quantise.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace fifthpeg::smf_read {
namespace {

// Into how many parts a beat may be divided, and what a reader pays for it, from the cheapest on. The
// costs are in units of half a squared spread; found by trial on jittered rhythms (see the tests).
struct Subdivision {
  int parts;
  double cost;
  bool odd;  // needs a tuplet
};
constexpr std::array<Subdivision, 15> simple_beat{{{1, 0.0, false},
                                                   {2, 0.5, false},
                                                   {4, 1.2, false},
                                                   {3, 2.0, true},
                                                   {6, 4.5, true},
                                                   {8, 5.0, false},
                                                   {5, 9.0, true},
                                                   {12, 10.0, true},
                                                   {16, 11.0, false},
                                                   {7, 11.0, true},
                                                   {9, 12.0, true},
                                                   {10, 13.0, true},
                                                   {24, 16.0, true},
                                                   {14, 16.0, true},
                                                   {32, 18.0, false}}};
constexpr std::array<Subdivision, 16> compound_beat{{{1, 0.0, false},
                                                     {3, 0.5, false},
                                                     {6, 1.2, false},
                                                     {2, 3.5, false},
                                                     {4, 5.0, false},
                                                     {12, 5.0, false},
                                                     {9, 8.0, true},
                                                     {5, 10.0, true},
                                                     {24, 11.0, false},
                                                     {18, 12.0, true},
                                                     {7, 12.0, true},
                                                     {15, 14.0, true},
                                                     {36, 17.0, true},
                                                     {30, 18.0, true},
                                                     {48, 18.0, false},
                                                     {45, 22.0, true}}};
constexpr double collision_cost = 6.0;  // two onsets on one point of the grid

// A file is taken as written if so many of its onsets stand exactly on a usual subdivision.
constexpr double written_share = 0.9;

// The most parts of any subdivision, for which the logarithm is looked up.
constexpr std::size_t most_parts = 48;

// A beat of a bar that holds onsets [first, last). There may be one a note: kept small.
struct Beat {
  double tick = 0.0;
  double ticks = 0.0;
  const Subdivision* exact = nullptr;  // the cheapest that meets every onset exactly, if there is one
  std::uint32_t first = 0;
  std::uint32_t last = 0;
  std::uint32_t bar = 0;
  std::uint32_t index = 0;  // from the start of the bar
  bool compound = false;
};

// What is divided: the meter's beat, a half or whole note beat in quarters.
Fraction divided_beat(const Meter& meter) {
  const Fraction beat = meter.beat();
  return !meter.is_compound() && beat > Fraction(1, 4) ? Fraction(1, 4) : beat;
}

class Quantiser {
 public:
  Quantiser(const std::vector<std::int64_t>& ticks, const TempoMap& map, const Bars& bars)
      : ticks_(ticks), map_(map), bars_(bars) {
    for (std::size_t parts = 1; parts < log_.size(); ++parts) log_[parts] = std::log(parts);
  }

  Grid run(std::optional<Fraction> step) {
    grid_.onsets.resize(ticks_.size());
    if (step) {
      force(*step);
    } else {
      find_beats();
      grid_.exact = is_written();
      if (!grid_.exact) learn_habits();
      for (const Beat& beat : beats_) place(beat);
    }
    finish();
    return std::move(grid_);
  }

 private:
  void force(Fraction step) {
    std::size_t bar = 0;
    for (std::size_t i = 0; i < ticks_.size(); ++i) {
      const auto tick = static_cast<double>(ticks_[i]);
      bar = bars_.bar_at(tick, bar);
      const Bar& b = bars_.bars[bar];
      const double steps = (tick - b.tick) / b.ticks * (b.length / step).to_double();
      const Fraction offset = std::min(b.length, Fraction(std::llround(steps)) * step);
      settle(i, b, offset, tick_at(b, offset));
    }
  }

  static double tick_at(const Bar& bar, Fraction offset) {
    return bar.tick + bar.ticks * (offset.to_double() / bar.length.to_double());
  }

  void settle(std::size_t i, const Bar& bar, Fraction offset, double tick) {
    grid_.onsets[i] = bar.start + offset;
    const double distance = std::abs(static_cast<double>(ticks_[i]) - tick);
    if (distance > tolerance(tick)) {
      moved_ += distance;
      moved_seconds_ += distance * map_.seconds_per_tick_at(ticks_[i]);
    }
  }

  // How far an exact onset may lie from a point of the grid: not at all where a tick can stand there.
  double tolerance(double tick) const {
    const bool whole = std::abs(tick - std::round(tick)) < 1e-6;
    return std::max(map_.rounding, whole ? 1e-6 : 0.999);
  }

  void find_beats() {
    constexpr double slack = 0.999;  // an onset just before a barline between two ticks belongs after it
    std::size_t bar = 0;
    std::size_t known = static_cast<std::size_t>(-1);  // the bar that the next two describe
    double beat_ticks = 0.0;
    bool compound = false;
    std::int64_t last_index = 0;
    for (std::size_t i = 0; i < ticks_.size(); ++i) {
      const auto tick = static_cast<double>(ticks_[i]);
      bar = bars_.bar_at(tick, bar);
      if (bar + 1 < bars_.bars.size() && !is_whole(bars_.bars[bar + 1].tick) &&
          tick + slack >= bars_.bars[bar + 1].tick) {
        ++bar;
      }
      const Bar& b = bars_.bars[bar];
      const bool new_bar = known != bar;
      if (new_bar) {
        const Meter& meter = bars_.meter_of(b);
        beat_ticks = b.ticks * divided_beat(meter).to_double() / b.length.to_double();
        compound = meter.is_compound();
        known = bar;
      }
      auto index = static_cast<std::int64_t>(std::max(0.0, std::floor((tick - b.tick) / beat_ticks)));
      const double next = b.tick + static_cast<double>(index + 1) * beat_ticks;
      if (!is_whole(next) && tick + slack >= next) ++index;
      const auto onset = static_cast<std::uint32_t>(i);
      if (beats_.empty() || new_bar || index != last_index) {
        beats_.push_back({std::min(b.tick + b.ticks, b.tick + static_cast<double>(index) * beat_ticks),
                          beat_ticks, nullptr, onset, onset, static_cast<std::uint32_t>(bar),
                          static_cast<std::uint32_t>(index), compound});
        last_index = index;
      }
      beats_.back().last = onset + 1;
    }
  }

  static bool is_whole(double tick) { return std::abs(tick - std::round(tick)) < 1e-6; }

  template <typename Visit>
  void for_each_subdivision(const Beat& beat, Visit visit) const {
    if (beat.compound) {
      for (const Subdivision& s : compound_beat) {
        if (!visit(s)) return;
      }
    } else {
      for (const Subdivision& s : simple_beat) {
        if (!visit(s)) return;
      }
    }
  }

  std::int64_t nearest(const Beat& beat, int parts, std::size_t i) const {
    // To the nearest; a little before the beat too.
    return static_cast<std::int64_t>(
        std::floor((static_cast<double>(ticks_[i]) - beat.tick) / beat.ticks * parts + 0.5));
  }
  static double point(const Beat& beat, int parts, std::int64_t k) {
    return beat.tick + beat.ticks * static_cast<double>(k) / parts;
  }

  bool is_exact(const Beat& beat, int parts) const {
    for (std::size_t i = beat.first; i < beat.last; ++i) {
      const double at = point(beat, parts, nearest(beat, parts, i));
      if (std::abs(static_cast<double>(ticks_[i]) - at) > tolerance(at)) return false;
    }
    return true;
  }

  // The cheapest subdivision that meets every onset of the beat exactly; nullptr where there is none.
  const Subdivision* exact_subdivision(const Beat& beat) const {
    const Subdivision* found = nullptr;
    for_each_subdivision(beat, [&](const Subdivision& s) {
      const bool ticks_can_tell = s.parts <= 4 || s.parts * 2.0 <= beat.ticks;
      if (ticks_can_tell && is_exact(beat, s.parts)) found = &s;
      return found == nullptr;
    });
    return found;
  }

  bool is_written() {
    std::size_t exact = 0;
    std::size_t all = 0;
    for (Beat& beat : beats_) {
      const std::size_t count = beat.last - beat.first;
      all += count;
      const Subdivision* s = beat.exact = exact_subdivision(beat);
      // A grid nearly as fine as the ticks meets anything.
      if (s != nullptr && (s->parts <= 4 || beat.ticks / s->parts >= 3.0)) exact += count;
    }
    return static_cast<double>(exact) >= written_share * static_cast<double>(all);
  }

  struct Fit {
    const Subdivision* subdivision = nullptr;
    double cost = 0.0;
  };

  Fit best_fit(const Beat& beat) const {
    const double spread = std::max(
        played_spread_s / map_.seconds_per_tick_at(static_cast<std::int64_t>(std::max(0.0, beat.tick))),
        map_.rounding);
    Fit best{beat.compound ? &compound_beat.front() : &simple_beat.front(),
             std::numeric_limits<double>::infinity()};
    for_each_subdivision(beat, [&](const Subdivision& s) {
      const double choice = log_[static_cast<std::size_t>(s.parts)];
      double cost = s.cost + (s.odd ? odd_cost_ : even_cost_) + choice * (beat.last - beat.first);
      std::int64_t before = -1;
      for (std::size_t i = beat.first; i < beat.last && cost < best.cost; ++i) {
        const std::int64_t k = nearest(beat, s.parts, i);
        const double distance = (static_cast<double>(ticks_[i]) - point(beat, s.parts, k)) / spread;
        cost += distance * distance / 2;
        if (k == before) cost += collision_cost;
        before = k;
      }
      if (cost < best.cost) best = {&s, cost};
      return true;
    });
    return best;
  }

  // A piece mostly in sixteenths has few triplets, and the other way round: what most beats say makes the
  // doubtful ones cheaper to read the same way.
  void learn_habits() {
    double odd = 1.0;
    double even = 1.0;
    for (const Beat& beat : beats_) {
      if (beat.compound || beat.last - beat.first < 2) continue;
      (best_fit(beat).subdivision->odd ? odd : even) += 1.0;
    }
    odd_cost_ = -std::log(odd / (odd + even));
    even_cost_ = -std::log(even / (odd + even));
  }

  void place(const Beat& beat) {
    const Subdivision* s = grid_.exact ? beat.exact : nullptr;
    if (s == nullptr) s = best_fit(beat).subdivision;
    const Bar& bar = bars_.bars[beat.bar];
    const Fraction part = divided_beat(bars_.meter_of(bar)) / s->parts;
    const std::int64_t parts_before = std::int64_t{beat.index} * s->parts;
    for (std::size_t i = beat.first; i < beat.last; ++i) {
      const std::int64_t k = std::max<std::int64_t>(0, nearest(beat, s->parts, i));
      const Fraction offset = std::min(bar.length, part * (parts_before + k));
      settle(i, bar, offset, tick_at(bar, offset));
    }
  }

  void finish() {
    for (std::size_t i = 1; i < grid_.onsets.size(); ++i) {
      grid_.onsets[i] = std::max(grid_.onsets[i], grid_.onsets[i - 1]);
    }
    if (ticks_.empty()) return;
    const auto count = static_cast<double>(ticks_.size());
    grid_.residual = moved_ / count / (4.0 * map_.ticks_per_quarter);
    grid_.residual_seconds = moved_seconds_ / count;
  }

  const std::vector<std::int64_t>& ticks_;
  const TempoMap& map_;
  const Bars& bars_;
  Grid grid_;
  std::vector<Beat> beats_;
  std::array<double, most_parts + 1> log_{};  // of a number of parts
  double odd_cost_ = 0.0;
  double even_cost_ = 0.0;
  double moved_ = 0.0;  // in ticks
  double moved_seconds_ = 0.0;
};

}  // namespace

Grid quantise_onsets(const std::vector<std::int64_t>& ticks, const TempoMap& map, const Bars& bars,
                     std::optional<Fraction> step) {
  return Quantiser(ticks, map, bars).run(step);
}

}  // namespace fifthpeg::smf_read
