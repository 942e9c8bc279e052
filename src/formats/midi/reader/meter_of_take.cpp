#include "formats/midi/reader/meter_of_take.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <string_view>

#include "formats/midi/reader/repertoires.hpp"

namespace fifthpeg::midi::reader {
namespace {

// Unless they are asked for: 2/4 is read as 4/4, of which the beats are half as fast to write.
constexpr bool is_default(const MeasureStructure& s) {
  return s.beats != 2;
}
constexpr bool is_compound(const MeasureStructure& s) {
  return s.unit == 8;
}

// A note that is the same as the one so many measures before, or not: how often it is, by whether the note
// before it was and by where it stands.
struct CopyShares {
  double after_other, after_same;
};
constexpr CopyShares copy_on_downbeat{0.248, 0.753};
constexpr CopyShares copy_on_beat{0.142, 0.823};
constexpr CopyShares copy_elsewhere{0.127, 0.864};
constexpr std::array<int, 4> copied_measures{1, 2, 4, 8};

// What has fewer onsets than this in a second is a song: fiddle tunes have four to seven.
constexpr double fewest_in_tune = 3.3;
// Beats are in three where so many of the onsets are not on a beat: quarters of a song are on one each.
constexpr double least_divided = 0.06;

// What is longer is no eighth (common practice).
constexpr double longest_eighth_s = 0.45;
// Of a song (common practice).
constexpr double shortest_beat_s = 0.33;

// Swing: of beats of three steps, how many may have the middle one, and how many must have the last one.
constexpr double most_middle = 0.06;
constexpr double least_last = 0.30;
// A beat that is longer is no beat: its thirds are beats of three (common practice).
constexpr double longest_swung_s = 1.2;

// ---- the search -----------------------------------------------------------------------------------

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
    const double seconds = static_cast<double>(notes.back().step - notes.front().step) * step_s;
    if (static_cast<double>(notes.size() - 1) < fewest_in_tune * seconds && knows(songs)) kind_ = &songs;
  }

  std::optional<TakeMeter> run() {
    if (hints_.meter && !is_counted()) return as_asked();
    for (const MeasureStructure& s : kind_->measures) {
      if (!agrees(s) || !suits(s)) continue;
      const auto length = static_cast<std::int64_t>(s.steps.size());
      const std::int64_t copied = copied_steps(length);
      for (std::int64_t phase = 0; phase < length; ++phase) {
        const std::int64_t downbeat = notes_.front().step + phase;
        if (hints_.pickup && Fraction(phase, s.step_den) != *hints_.pickup) continue;
        if (is_compound(s) && !hints_.meter && !divides_beats(s, downbeat)) continue;
        const double score = score_of(s, downbeat, copied);
        if (best_ && score <= best_->score) continue;
        best_ =
            TakeMeter{hints_.meter.value_or(meter_of(s)), Fraction(1, s.step_den), downbeat, false, score};
      }
    }
    return best_;
  }

 private:
  const MetricPlace& place_of(char letter) const {
    return *std::find_if(kind_->places.begin(), kind_->places.end(),
                         [&](const MetricPlace& one) { return one.letter == letter; });
  }

  // Whether a song is written and sung so: in no shorter values than it needs, and in no faster beats than
  // people count. Other steps may be the ones then.
  bool suits(const MeasureStructure& s) const {
    if (kind_ != &songs) return true;
    const bool slow = !hints_.grid && step_s_ * s.step_den > longest_eighth_s * 8;
    return !slow && step_s_ * s.beat_steps >= shortest_beat_s;
  }

  // Whether any measure of a repertoire goes with the hints.
  bool knows(const Repertoire& kind) const {
    return std::any_of(kind.measures.begin(), kind.measures.end(),
                       [&](const MeasureStructure& s) { return agrees(s); });
  }

  // Whether enough notes stand between the beats.
  bool divides_beats(const MeasureStructure& s, std::int64_t downbeat) const {
    const auto between = std::count_if(notes_.begin(), notes_.end(), [&](const SteppedNote& note) {
      return (note.step - downbeat) % s.beat_steps != 0;
    });
    return static_cast<double>(between) >= least_divided * static_cast<double>(notes_.size());
  }

  static Meter meter_of(const MeasureStructure& s) {
    Meter meter;
    meter.beats = {s.beats};
    meter.unit = s.unit;
    return meter;
  }

  bool agrees(const MeasureStructure& s) const {
    if (hints_.grid && *hints_.grid != Fraction(1, s.step_den)) return false;
    if (!hints_.meter) return is_default(s) || (hints_.grid && kind_ != &songs);
    // Cut time is read as 4/4, and 12/8 as pairs of 6/8.
    if (is_meter(2, 2)) return s.beats == 4;
    if (is_meter(12, 8)) return s.beats == 6;
    return is_meter(s.beats, s.unit);
  }

  // Whether anything is known of measures in the meter that is asked for.
  bool is_counted() const {
    return is_meter(2, 2) || is_meter(12, 8) ||
           std::any_of(kind_->measures.begin(), kind_->measures.end(),
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
    double held = 0;
    for (std::size_t i = 0; i < notes_.size(); ++i) {
      const SteppedNote& note = notes_[i];
      accents += note.accent * at(note.step).accent;
      if (i == 0) continue;
      const SteppedNote& before = notes_[i - 1];
      intervals += at(note.step).interval.at(kind_of_interval(note.key - before.key));
      if ((note.step - before.step) * 4 >= length * 3) held += at(before.step).held;
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
        const CopyShares& copy = letter == 'D' ? copy_on_downbeat
                                 : std::string_view("BWXQR").find(letter) != std::string_view::npos
                                     ? copy_on_beat
                                     : copy_elsewhere;
        const double share = was_same ? copy.after_same : copy.after_other;
        was_same = now.key == before.key;
        copies += was_same ? std::log(share / chance_) : std::log((1 - share) / (1 - chance_));
      });
    }
    const std::int64_t pickup = ((downbeat - notes_.front().step) % length + length) % length;
    const double beat_s = step_s_ * s.beat_steps;
    const double octaves = std::log2(beat_s / kind_->usual_beat_s) / kind_->beat_octaves;
    const EvidenceWeights& weights = kind_->weights;
    const char last = at(notes_.back().step).letter;
    const auto such = static_cast<double>(std::count(s.steps.begin(), s.steps.end(), last));
    return s.prior + weights.onset * onsets + weights.interval * intervals + weights.copy * copies +
           weights.accent * accents + weights.held * held +
           weights.first * std::log(pickup_share(s, pickup) * static_cast<double>(length)) +
           weights.last * (place_of(last).last - std::log(such / static_cast<double>(length))) -
           octaves * octaves / 2;
  }

  double pickup_share(const MeasureStructure& s, std::int64_t pickup) const {
    const PickupShares& shares = kind_->pickups;
    const std::int64_t half = std::max(1, s.beat_steps / 2);
    const auto length = static_cast<std::int64_t>(s.steps.size());
    if (pickup == 0) return shares.none;
    if (pickup * 2 <= s.beat_steps) return shares.half_beat / static_cast<double>(half);
    if (pickup <= s.beat_steps)
      return shares.beat / static_cast<double>(std::max<std::int64_t>(1, s.beat_steps - half));
    return shares.longer / static_cast<double>(std::max<std::int64_t>(1, length - 1 - s.beat_steps));
  }

  const std::vector<SteppedNote>& notes_;
  double step_s_;
  const TakeHints& hints_;
  const Repertoire* kind_ = &fiddle_tunes;
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
  const bool may_swing =
      step_s * 3 <= longest_swung_s && (!hints.meter || !hints.meter->is_compound()) && !hints.grid;
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
