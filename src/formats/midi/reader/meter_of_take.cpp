#include "formats/midi/reader/meter_of_take.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <string_view>

namespace fifthpeg::midi::reader {
namespace {

// ---- what was counted ---------------------------------------------------------------------------

// Places of a measure by what they are like. What follows was counted in 212 tunes of printed collections of
// fiddle tunes (a sixth of Ryan's Mammoth Collection, 1883; airs and jigs of Aird, 1782, and O'Neill, 1903);
// how much each kind of evidence counts was fitted to them by logistic regression.
struct MetricPlace {
  char letter;
  double after_rest, after_note;  // share of such places with an onset, where the step before has none or one
  std::array<double, 4> interval;  // log ratio of repeated note, step, third, leap into it, to that anywhere
  double last;                     // log of the share of tunes that end there
  double accent;                   // common practice
};
constexpr std::array<MetricPlace, 13> metric_places{{
    {'D', 0.97, 0.97, {-0.21, 0.23, -0.76, 0.20}, -1.82, 1.0},    // downbeat
    {'B', 0.94, 0.97, {0.73, -0.02, -0.44, 0.01}, -0.61, 0.5},    // second of two beats
    {'W', 0.66, 0.95, {0.62, -0.24, -0.03, 0.19}, -3.88, 0.3},    // second of three beats
    {'X', 0.94, 0.97, {0.40, 0.14, -0.34, -0.35}, -3.51, 0.3},    // third of three beats
    {'h', 0.54, 0.67, {0.24, -0.04, -0.05, 0.05}, -4.98, -0.1},   // half a beat, in the first beat
    {'H', 0.72, 0.80, {0.37, -0.06, -0.09, 0.06}, -2.00, -0.1},   // half a beat, in the last beat
    {'s', 0.27, 0.63, {-1.69, -0.19, 0.44, 0.11}, -6.08, -0.3},   // quarters of a beat, in the first beat
    {'S', 0.41, 0.67, {-1.60, -0.01, 0.28, -0.05}, -3.37, -0.3},  // and in the last one
    {'t', 0.47, 0.10, {-0.50, -0.01, 0.09, 0.10}, -4.98, -0.4},   // what is finer
    {'c', 0.77, 0.65, {-0.98, -0.13, 0.51, -0.46}, -6.08, -0.3},  // thirds of a beat, in the first beat
    {'d', 0.88, 0.97, {0.78, -0.22, 0.25, -0.91}, -6.08, -0.2},
    {'C', 0.68, 0.62, {-2.91, 0.15, 0.15, -0.28}, -6.08, -0.3},  // and in the last one
    {'E', 0.91, 0.97, {-0.30, 0.01, 0.20, -0.32}, -2.94, -0.2},
}};

// Measures, a letter a step.
struct MeasureStructure {
  std::string_view steps;
  int beats, unit;  // its meter
  int step_den;     // a step is one of so many parts of a whole note
  int beat_steps;
  double prior;
};
constexpr std::array<MeasureStructure, 11> measure_structures{{
    {"DhBH", 4, 4, 4, 2, -0.5},
    {"DshsBSHS", 4, 4, 8, 4, 0.42},
    {"DtsthtstBtStHtSt", 4, 4, 16, 8, -2.98},
    {"DhBH", 2, 4, 8, 2, -0.5},
    {"DshsBSHS", 2, 4, 16, 4, 0.42},
    {"DWX", 3, 4, 4, 1, 0.30},
    {"DhWhXH", 3, 4, 8, 2, 2.40},
    {"DshsWshsXSHS", 3, 4, 16, 4, 0.24},
    {"DcdBCE", 6, 8, 8, 3, 1.87},
    {"DtctdtBtCtEt", 6, 8, 16, 6, -2.95},
    {"DcdWcdXCE", 9, 8, 8, 3, -0.03},
}};
// Unless they are asked for: 2/4 is read as 4/4, of which the beats are half as fast to write.
constexpr bool is_default(const MeasureStructure& s) {
  return s.beats != 2;
}

constexpr double onset_weight = 0.04;
constexpr double interval_weight = 0.30;
constexpr double copy_weight = 0.14;
constexpr double first_weight = 0.81;
constexpr double last_weight = 0.68;
constexpr double accent_weight = 0.25;

// A note that is the same as the one so many measures before, or not: how often it is, by whether the note
// before it was and by where it stands.
struct CopyShares {
  double after_other, after_same;
};
constexpr CopyShares copy_on_downbeat{0.248, 0.753};
constexpr CopyShares copy_on_beat{0.142, 0.823};
constexpr CopyShares copy_elsewhere{0.127, 0.864};
constexpr std::array<int, 4> copied_measures{1, 2, 4, 8};

// Shares of tunes by the length of their pickup.
constexpr double no_pickup = 0.236;
constexpr double half_beat_pickup = 0.596;
constexpr double beat_pickup = 0.157;
constexpr double longer_pickup = 0.012;

// How long a beat usually lasts, and how far that spreads in octaves; what is longer than the last is no
// eighth (common practice).
constexpr double usual_beat_s = 0.55;
constexpr double beat_octaves = 0.5;
constexpr double longest_eighth_s = 0.35;

// Swing: of beats of three steps, how many may have the middle one, and how many must have the last one.
constexpr double most_middle = 0.06;
constexpr double least_last = 0.30;

// ---- the search -----------------------------------------------------------------------------------

const MetricPlace& place_of(char letter) {
  return *std::find_if(metric_places.begin(), metric_places.end(),
                       [&](const MetricPlace& one) { return one.letter == letter; });
}

std::size_t kind_of_interval(int half_steps) {
  const int size = std::abs(half_steps);
  return size == 0 ? 0 : size <= 2 ? 1 : size <= 4 ? 2 : 3;
}

class MeterFinder {
 public:
  MeterFinder(const std::vector<SteppedNote>& notes, double step_s, const TakeHints& hints)
      : notes_(notes), step_s_(step_s), hints_(hints) {
    std::array<double, 128> of_key{};
    for (const SteppedNote& note : notes) of_key.at(note.key % 128U) += 1;
    for (const double count : of_key) chance_ += std::pow(count / static_cast<double>(notes.size()), 2);
    chance_ = std::clamp(chance_, 0.02, 0.98);
  }

  std::optional<TakeMeter> run() {
    if (hints_.meter && !is_counted()) return as_asked();
    for (const MeasureStructure& s : measure_structures) {
      if (!agrees(s)) continue;
      const auto length = static_cast<std::int64_t>(s.steps.size());
      const std::int64_t copied = copied_steps(length);
      for (std::int64_t phase = 0; phase < length; ++phase) {
        const std::int64_t downbeat = notes_.front().step + phase;
        if (hints_.pickup && Fraction(phase, s.step_den) != *hints_.pickup) continue;
        const double score = score_of(s, downbeat, copied);
        if (best_ && score <= best_->score) continue;
        best_ =
            TakeMeter{hints_.meter.value_or(meter_of(s)), Fraction(1, s.step_den), downbeat, false, score};
      }
    }
    return best_;
  }

 private:
  static Meter meter_of(const MeasureStructure& s) {
    Meter meter;
    meter.beats = {s.beats};
    meter.unit = s.unit;
    return meter;
  }

  bool agrees(const MeasureStructure& s) const {
    if (hints_.grid && *hints_.grid != Fraction(1, s.step_den)) return false;
    if (!hints_.meter) return is_default(s) || hints_.grid;
    // Cut time is read as 4/4, and 12/8 as pairs of 6/8.
    if (is_meter(2, 2)) return s.beats == 4;
    if (is_meter(12, 8)) return s.beats == 6;
    return is_meter(s.beats, s.unit);
  }

  // Whether anything is known of measures in the meter that is asked for.
  bool is_counted() const {
    return is_meter(2, 2) || is_meter(12, 8) ||
           std::any_of(measure_structures.begin(), measure_structures.end(),
                       [&](const MeasureStructure& s) { return is_meter(s.beats, s.unit); });
  }

  // Of other meters, 5/8 or 7/4, only whoever plays them knows where they begin: with the first note, unless
  // a pickup is asked for.
  std::optional<TakeMeter> as_asked() const {
    const Fraction value = hints_.grid.value_or(step_s_ > longest_eighth_s ? Fraction(1, 4) : Fraction(1, 8));
    const Fraction steps = hints_.pickup.value_or(0) / value;
    if (!steps.is_whole() || !(hints_.meter->length() / value).is_whole()) return std::nullopt;
    return TakeMeter{*hints_.meter, value, notes_.front().step + steps.floor(), false, 0.0};
  }

  bool is_meter(int beats, int unit) const {
    return hints_.meter->beats == std::vector<int>{beats} && hints_.meter->unit == unit;
  }

  // Over which number of whole measures the notes repeat best; 0: over none.
  std::int64_t copied_steps(std::int64_t length) const {
    std::int64_t best = 0;
    double best_share = 0;
    for (const int measures : copied_measures) {
      const std::int64_t lag = length * measures;
      std::size_t both = 0;
      std::size_t same = 0;
      for_each_pair(lag, [&](const SteppedNote& now, const SteppedNote& before) {
        ++both;
        same += now.key == before.key ? 1 : 0;
      });
      if (both < std::max<std::size_t>(8, notes_.size() / 4)) continue;
      const double share = static_cast<double>(same) / static_cast<double>(both);
      if (share > best_share + 0.02) {
        best_share = share;
        best = lag;
      }
    }
    return best;
  }

  // Calls visit(note, note `lag` steps before) where there are both.
  template <typename Visit>
  void for_each_pair(std::int64_t lag, Visit visit) const {
    std::size_t before = 0;
    for (const SteppedNote& note : notes_) {
      while (notes_[before].step < note.step - lag) ++before;
      if (notes_[before].step == note.step - lag) visit(note, notes_[before]);
    }
  }

  double score_of(const MeasureStructure& s, std::int64_t downbeat, std::int64_t copied) const {
    const auto length = static_cast<std::int64_t>(s.steps.size());
    const auto at = [&](std::int64_t step) -> const MetricPlace& {
      const std::int64_t in_measure = ((step - downbeat) % length + length) % length;
      return place_of(s.steps[static_cast<std::size_t>(in_measure)]);
    };
    double onsets = 0;
    double intervals = 0;
    double accents = 0;
    for (std::size_t i = 0; i < notes_.size(); ++i) {
      const SteppedNote& note = notes_[i];
      accents += note.accent * at(note.step).accent;
      if (i == 0) continue;
      const SteppedNote& before = notes_[i - 1];
      intervals += at(note.step).interval.at(kind_of_interval(note.key - before.key));
      // Long silences say as much as the first measure of them.
      const std::int64_t from = std::max(before.step, note.step - length);
      for (std::int64_t step = from + 1; step <= note.step; ++step) {
        const MetricPlace& place = at(step);
        const double share = step == before.step + 1 ? place.after_note : place.after_rest;
        onsets += std::log(step == note.step ? share : 1 - share);
      }
    }
    double copies = 0;
    if (copied > 0) {
      bool was_same = false;
      for_each_pair(copied, [&](const SteppedNote& now, const SteppedNote& before) {
        const char letter = at(now.step).letter;
        const CopyShares& copy = letter == 'D'                                     ? copy_on_downbeat
                                 : letter == 'B' || letter == 'W' || letter == 'X' ? copy_on_beat
                                                                                   : copy_elsewhere;
        const double share = was_same ? copy.after_same : copy.after_other;
        was_same = now.key == before.key;
        copies += was_same ? std::log(share / chance_) : std::log((1 - share) / (1 - chance_));
      });
    }
    const std::int64_t pickup = ((downbeat - notes_.front().step) % length + length) % length;
    const double beat_s = step_s_ * s.beat_steps;
    const double octaves = std::log2(beat_s / usual_beat_s) / beat_octaves;
    const char last = at(notes_.back().step).letter;
    const auto such = static_cast<double>(std::count(s.steps.begin(), s.steps.end(), last));
    return s.prior + onset_weight * onsets + interval_weight * intervals + copy_weight * copies +
           accent_weight * accents +
           first_weight * std::log(pickup_share(s, pickup) * static_cast<double>(length)) +
           last_weight * (place_of(last).last - std::log(such / static_cast<double>(length))) -
           octaves * octaves / 2;
  }

  static double pickup_share(const MeasureStructure& s, std::int64_t pickup) {
    const std::int64_t half = std::max(1, s.beat_steps / 2);
    const auto length = static_cast<std::int64_t>(s.steps.size());
    if (pickup == 0) return no_pickup;
    if (pickup * 2 <= s.beat_steps) return half_beat_pickup / static_cast<double>(half);
    if (pickup <= s.beat_steps)
      return beat_pickup / static_cast<double>(std::max<std::int64_t>(1, s.beat_steps - half));
    return longer_pickup / static_cast<double>(std::max<std::int64_t>(1, length - 1 - s.beat_steps));
  }

  const std::vector<SteppedNote>& notes_;
  double step_s_;
  const TakeHints& hints_;
  double chance_ = 0.0;  // that two notes are the same
  std::optional<TakeMeter> best_;
};

// Which of three steps the beats are on, if the steps are swung eighths: the one after them is hardly ever
// played.
std::optional<std::int64_t> swung_beat(const std::vector<SteppedNote>& notes) {
  std::array<double, 3> count{};
  for (const SteppedNote& note : notes) count.at(static_cast<std::size_t>((note.step % 3 + 3) % 3)) += 1;
  for (std::size_t beat = 0; beat < 3; ++beat) {
    const double beats = count.at(beat);
    if (count.at((beat + 1) % 3) <= most_middle * beats && count.at((beat + 2) % 3) >= least_last * beats &&
        beats >= count.at((beat + 2) % 3))
      return static_cast<std::int64_t>(beat);
  }
  return std::nullopt;
}

}  // namespace

std::optional<TakeMeter> find_meter(const std::vector<SteppedNote>& notes, double step_s,
                                    const TakeHints& hints) {
  if (notes.size() < 2) return std::nullopt;
  const bool may_swing = (!hints.meter || !hints.meter->is_compound()) && !hints.grid;
  const auto beat = may_swing ? swung_beat(notes) : std::nullopt;
  if (!beat) return MeterFinder(notes, step_s, hints).run();
  std::vector<SteppedNote> even;
  for (const SteppedNote& note : notes) {
    const std::int64_t from_beat = note.step - *beat;
    const std::int64_t in_beat = (from_beat % 3 + 3) % 3;
    if (in_beat == 1) continue;
    even.push_back(note);
    even.back().step = (from_beat - in_beat) / 3 * 2 + (in_beat == 2 ? 1 : 0);
  }
  TakeHints eighths = hints;
  eighths.grid = Fraction(1, 8);
  auto result = MeterFinder(even, step_s * 1.5, eighths).run();
  if (!result) return result;
  // A measure has whole beats, so that its downbeat is one of the even steps.
  const bool on_beat = result->downbeat % 2 == 0;
  if (!on_beat) return MeterFinder(notes, step_s, hints).run();
  result->swung = true;
  result->step_value = Fraction(1, 12);
  result->downbeat = result->downbeat / 2 * 3 + *beat;
  return result;
}

}  // namespace fifthpeg::midi::reader
