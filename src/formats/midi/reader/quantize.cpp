#include "formats/midi/reader/quantize.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <span>

#include "engraving/find_tuplets.hpp"
namespace fifthpeg::midi::reader {
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
// How far an exact onset may lie from a point of the grid where no tick can stand.
constexpr double most_tolerance = 0.999;
constexpr double collision_cost = 6.0;  // two onsets on one point of the grid

// A file is taken as written if so many of its onsets stand exactly on a usual subdivision.
constexpr double written_share = 0.9;

constexpr std::size_t most_parts = 48;  // of any subdivision

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

// As std::floor, which is a call into the library wherever the processor is not known to be a newer one. What
// is asked here, ticks and parts of beats, is far below what 64 bits hold.
std::int64_t floor_of(double value) {
  const auto whole = static_cast<std::int64_t>(value);
  return static_cast<double>(whole) > value ? whole - 1 : whole;
}

class Quantizer {
 public:
  Quantizer(const std::vector<std::int64_t>& ticks, const TempoMap& map, const Bars& bars)
      : ticks_(ticks), map_(map), bars_(bars) {
    for (std::size_t parts = 1; parts <= most_parts; ++parts) log_.at(parts) = std::log(parts);
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
    for (std::size_t i = 0; i < ticks_.size(); ++i) {
      const auto tick = static_cast<double>(ticks_[i]);
      const Bar& b = bars_.bars[bars_.bar_at(tick)];
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
    return std::max(map_.rounding, is_whole(tick) ? 1e-6 : most_tolerance);
  }

  void find_beats() {
    constexpr double slack = 0.999;  // an onset just before a barline between two ticks belongs after it
    for (std::size_t i = 0; i < ticks_.size(); ++i) {
      const auto tick = static_cast<double>(ticks_[i]);
      std::size_t bar = bars_.bar_at(tick);
      if (bar + 1 < bars_.bars.size() && !is_whole(bars_.bars[bar + 1].tick) &&
          tick + slack >= bars_.bars[bar + 1].tick) {
        ++bar;
      }
      const Bar& b = bars_.bars[bar];
      const Meter& meter = bars_.meter_of(b);
      const double beat_ticks = b.ticks * engraving::divided_beat(meter).to_double() / b.length.to_double();
      auto index = std::max<std::int64_t>(0, floor_of((tick - b.tick) / beat_ticks));
      const double next = b.tick + static_cast<double>(index + 1) * beat_ticks;
      if (!is_whole(next) && tick + slack >= next) ++index;
      const auto onset = static_cast<std::uint32_t>(i);
      if (beats_.empty() || beats_.back().bar != bar || beats_.back().index != index) {
        beats_.push_back({std::min(b.tick + b.ticks, b.tick + static_cast<double>(index) * beat_ticks),
                          beat_ticks, nullptr, onset, onset, static_cast<std::uint32_t>(bar),
                          static_cast<std::uint32_t>(index), meter.is_compound()});
      }
      beats_.back().last = onset + 1;
    }
  }

  static bool is_whole(double tick) {
    return std::abs(tick - static_cast<double>(floor_of(tick + 0.5))) < 1e-6;
  }

  static std::span<const Subdivision> subdivisions(const Beat& beat) {
    if (beat.compound) return compound_beat;
    return simple_beat;
  }

  std::int64_t nearest(const Beat& beat, int parts, std::size_t i) const {
    // To the nearest; a little before the beat too.
    return floor_of((static_cast<double>(ticks_[i]) - beat.tick) / beat.ticks * parts + 0.5);
  }
  static double point(const Beat& beat, int parts, std::int64_t k) {
    return beat.tick + beat.ticks * static_cast<double>(k) / parts;
  }

  bool is_exact(const Beat& beat, int parts) const {
    const double most = std::max(map_.rounding, most_tolerance);
    for (std::size_t i = beat.first; i < beat.last; ++i) {
      const double at = point(beat, parts, nearest(beat, parts, i));
      const double distance = std::abs(static_cast<double>(ticks_[i]) - at);
      if (distance > most || distance > tolerance(at)) return false;
    }
    return true;
  }

  // The cheapest subdivision that meets every onset of the beat exactly; nullptr where there is none.
  const Subdivision* exact_subdivision(const Beat& beat) const {
    for (const Subdivision& s : subdivisions(beat)) {
      const bool ticks_can_tell = s.parts <= 4 || s.parts * 2.0 <= beat.ticks;
      if (ticks_can_tell && is_exact(beat, s.parts)) return &s;
    }
    return nullptr;
  }

  bool is_written() {
    std::size_t missed = 0;
    const double may_miss = (1 - written_share) * static_cast<double>(ticks_.size());
    for (Beat& beat : beats_) {
      const Subdivision* s = beat.exact = exact_subdivision(beat);
      // A grid nearly as fine as the ticks meets anything.
      if (s != nullptr && (s->parts <= 4 || beat.ticks / s->parts >= 3.0)) continue;
      missed += beat.last - beat.first;
      if (static_cast<double>(missed) > may_miss) return false;
    }
    return true;
  }

  struct Fit {
    const Subdivision* subdivision = nullptr;
    double cost = 0.0;
  };

  Fit best_fit(const Beat& beat) const {
    const double seconds = map_.seconds_per_tick_at(static_cast<std::int64_t>(std::max(0.0, beat.tick)));
    const double beat_in_spreads = beat.ticks / std::max(played_spread_s / seconds, map_.rounding);
    Fit best{&subdivisions(beat).front(), std::numeric_limits<double>::infinity()};
    const double least_habit = std::min(odd_cost_, even_cost_);
    for (const Subdivision& s : subdivisions(beat)) {
      if (s.cost + least_habit >= best.cost) break;  // and those after it cost more yet
      const double choice = log_.at(static_cast<std::size_t>(s.parts));
      double cost = s.cost + (s.odd ? odd_cost_ : even_cost_) + choice * (beat.last - beat.first);
      std::int64_t before = -1;
      const double part_in_spreads = beat_in_spreads * (1.0 / s.parts);
      for (std::size_t i = beat.first; i < beat.last && cost < best.cost; ++i) {
        const double parts = (static_cast<double>(ticks_[i]) - beat.tick) / beat.ticks * s.parts;
        const std::int64_t k = floor_of(parts + 0.5);
        const double distance = (parts - static_cast<double>(k)) * part_in_spreads;
        cost += distance * distance / 2;
        if (k == before) cost += collision_cost;
        before = k;
      }
      if (cost < best.cost) best = {&s, cost};
    }
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
    const Fraction part = engraving::divided_beat(bars_.meter_of(bar)) / s->parts;
    const std::int64_t parts_before = std::int64_t{beat.index} * s->parts;
    for (std::size_t i = beat.first; i < beat.last; ++i) {
      const std::int64_t k = std::max<std::int64_t>(0, nearest(beat, s->parts, i));
      const Fraction offset = std::min(bar.length, part * (parts_before + k));
      settle(i, bar, offset, offset < bar.length ? point(beat, s->parts, k) : bar.tick + bar.ticks);
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

Grid quantize_onsets(const std::vector<std::int64_t>& ticks, const TempoMap& map, const Bars& bars,
                     std::optional<Fraction> step) {
  return Quantizer(ticks, map, bars).run(step);
}

}  // namespace fifthpeg::midi::reader
