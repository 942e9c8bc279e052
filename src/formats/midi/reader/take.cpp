#include "formats/midi/reader/take.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <numeric>
#include <string>

#include "engraving/note_value.hpp"
#include "formats/midi/reader/bars.hpp"
#include "formats/midi/reader/meter_of_take.hpp"
#include "formats/midi/reader/pulse.hpp"
#include "formats/midi/reader/quantize.hpp"
#include "formats/midi/reader/stated.hpp"
#include "formats/midi/reader/tempo_map.hpp"

namespace fifthpeg::midi::reader {
namespace {

// Notes of all parts that begin within this are one stroke: hands are less together than the notes of a
// chord.
constexpr double together_s = 0.035;
constexpr std::size_t most_notes_at_once = 6;  // on average, in any music that somebody plays
constexpr int ticks_per_quarter = 480;
// Of the notes of a written file, beyond those that chance puts there, how many are on a grid of so many
// parts of a quarter note.
constexpr double mostly_written = 0.5;
constexpr std::array<int, 2> written_parts{8, 12};
// What the beats of the file tell of onsets at random times stays below the first; where they tell more, a
// pulse of the take's own must tell more yet, by the second.
constexpr double least_file_gain = 0.1;
constexpr double clear_gain = 0.1;
constexpr double least_gain = -0.5;  // of a pulse; steps as short as the spread of the onsets tell that much
// The share of onsets on the pulse above which none are taken to be between its steps.
constexpr double nearly_all = 0.97;
// Into how many parts of a quarter note a player who hears a click divides it.
constexpr std::array<int, 6> clicked_parts{1, 2, 3, 4, 6, 8};
constexpr std::array<double, 4> clicked_spreads_s{0.006, 0.012, 0.020, 0.030};
constexpr double off_click = 0.04;
constexpr double least_spreads_in_step = 4.0;

// A breath of whole steps is taken for one where the measures go on so much better without it, in nats; how
// long it may be, among how many of the longest pauses it is looked for, and how often.
constexpr double least_breath_gain = 5.0;
constexpr double longest_breath_s = 1.5;
constexpr std::size_t pauses_looked_at = 24;
constexpr int most_breaths = 16;

struct Onset {
  double seconds = 0.0;
  std::uint8_t key = 0;  // the highest
  double loudness = 0.0;
  int notes = 0;
};

// Where every second or third step is all that is ever played, those are the steps: what lies between them
// tells nothing, and would pass for a division of the beat.
void leave_out_empty_steps(Pulse& pulse) {
  std::int64_t apart = 0;
  for (const auto& step : pulse.steps) apart = std::gcd(apart, step.value_or(0));
  if (apart < 2) return;
  for (auto& step : pulse.steps) {
    if (step) *step /= apart;
  }
  for (Pulse::Knot& knot : pulse.knots) knot.step /= static_cast<double>(apart);
  pulse.step_s *= static_cast<double>(apart);
}

// What a player waited, in whole steps, before an onset.
struct Breath {
  std::size_t onset = 0;
  std::int64_t steps = 0;
};

// The pulse goes on with a hole: its steps come to a halt before the onset, and are fewer from there on.
void halt(Pulse& pulse, const Breath& breath) {
  const auto by = static_cast<double>(breath.steps);
  const auto at = static_cast<double>(*pulse.steps[breath.onset]);
  for (std::size_t i = breath.onset; i < pulse.steps.size(); ++i) {
    if (pulse.steps[i]) *pulse.steps[i] -= breath.steps;
  }
  const auto after = std::find_if(pulse.knots.begin() + 1, pulse.knots.end() - 1,
                                  [at](const Pulse::Knot& knot) { return knot.step >= at; });
  const Pulse::Knot& before = *(after - 1);
  const double share = (after->step - by - before.step) / (after->step - before.step);
  const Pulse::Knot hole{before.seconds + share * (after->seconds - before.seconds), after->step - by};
  const double whole_s = (pulse.knots.back().step - pulse.knots.front().step) * pulse.step_s;
  for (auto knot = after; knot != pulse.knots.end(); ++knot) knot->step -= by;
  pulse.step_s = (whole_s - (after->seconds - hole.seconds)) / std::max(1.0, pulse.knots.back().step);
  pulse.knots.insert(after, hole);
  ++pulse.breaths;
}

class TakeReader {
 public:
  TakeReader(Scan& scan, std::vector<PlayedPart>& parts, const ReadOptions& options, Report& report)
      : scan_(scan), parts_(parts), options_(options), report_(report), timeline_(scan, untold_) {
    double seconds = 0;
    const TempoMap& map = timeline_.map();
    for (std::size_t i = 0; i < map.tempos.size(); ++i) {
      if (i > 0) {
        seconds += static_cast<double>(map.tempos[i].tick - map.tempos[i - 1].tick) *
                   map.seconds_per_tick_at(map.tempos[i - 1].tick);
      }
      tempo_seconds_.push_back(seconds);
    }
  }

  std::optional<Take> run() {
    if (!has_as_many_notes_as_a_take() || is_mostly_on_grid() || !collect() || is_exact())
      return std::nullopt;
    std::vector<double> times;
    for (const Onset& onset : onsets_) times.push_back(onset.seconds);
    const double by_file = gain_of_file();
    std::vector<Pulse> pulses = find_pulses(times);
    for (Pulse& pulse : pulses) leave_out_empty_steps(pulse);
    const bool file_tells = by_file >= least_file_gain;
    const double least = file_tells ? by_file + clear_gain : least_gain;
    std::erase_if(pulses, [&](const Pulse& pulse) { return pulse.gain < least; });
    TakeHints known = hints_given();
    std::optional<TakeMeter> meter;
    const Pulse* chosen = nullptr;
    const auto choose = [&] {
      for (auto pulse = pulses.begin(); pulse != pulses.end() && !meter; ++pulse) {
        meter = find_meter(stepped(*pulse), pulse->step_s, known);
        chosen = &*pulse;
      }
    };
    choose();
    if (!meter && known.grid) {  // no note value that a pulse can have
      known.grid.reset();
      choose();
    }
    if (!meter) {
      if (!file_tells) {
        report_.add(
            EntryKind::decision, "midi-no-beat",
            std::string("the notes are off the beats of the file, and ") +
                (pulses.empty() ? "no steady beat was found in them"
                                : "what beats were found in them do not go with the meter or pickup"));
      }
      return std::nullopt;
    }
    Pulse pulse = *chosen;
    if (!meter->swung) take_out_breaths(pulse, *meter, known);
    return retime(pulse, *meter);
  }

 private:
  double seconds_at(std::int64_t tick) const {
    const auto& tempos = timeline_.map().tempos;
    const auto after =
        std::upper_bound(tempos.begin(), tempos.end(), tick,
                         [](std::int64_t t, const TempoPoint& point) { return t < point.tick; });
    const auto i = static_cast<std::size_t>(std::max<std::ptrdiff_t>(1, after - tempos.begin()) - 1);
    return tempo_seconds_[i] +
           static_cast<double>(tick - tempos[i].tick) * timeline_.map().seconds_per_tick_at(tick);
  }
  double seconds_of(const PlayedPart& part, std::int64_t tick) const {
    return seconds_at(timeline_.at(part.track, tick));
  }

  bool has_as_many_notes_as_a_take() const {
    std::size_t count = 0;
    for (const PlayedPart& part : parts_) count += part.notes.size();
    return count >= fewest_in_take && count <= most_in_take * most_notes_at_once;
  }

  // A program puts most notes on the grid, all but grace notes and odd tuplets; of a player's, as many stand
  // there as chance wants.
  bool is_mostly_on_grid() const {
    const auto on_grid = [&](std::int64_t tick) {
      return std::any_of(written_parts.begin(), written_parts.end(),
                         [&](int parts) { return is_on_grid(tick, parts); });
    };
    std::size_t hits = 0;
    std::size_t count = 0;
    for (const PlayedPart& part : parts_) {
      for (const PlayedNote& note : part.notes) hits += on_grid(timeline_.at(part.track, note.on)) ? 1 : 0;
      count += part.notes.size();
    }
    const int quarter = timeline_.map().ticks_per_quarter;
    std::size_t points = 0;
    for (std::int64_t tick = 0; tick < quarter; ++tick) points += on_grid(tick) ? 1 : 0;
    const double chance = static_cast<double>(points) / quarter;
    return static_cast<double>(hits) >= (chance + mostly_written * (1 - chance)) * static_cast<double>(count);
  }

  bool is_on_grid(std::int64_t tick, int parts) const {
    const double step = static_cast<double>(timeline_.map().ticks_per_quarter) / parts;
    const double nearest = std::round(static_cast<double>(tick) / step) * step;
    const bool whole = std::abs(nearest - std::round(nearest)) < 1e-6;
    return std::abs(static_cast<double>(tick) - nearest) <=
           std::max(timeline_.map().rounding, whole ? 1e-6 : 0.999);
  }

  // Whether there are as many onsets as say something.
  bool collect() {
    struct Struck {
      std::int64_t tick;
      double seconds;
      std::uint8_t key, velocity;
    };
    std::vector<Struck> struck;
    for (const PlayedPart& part : parts_) {
      for (const PlayedNote& note : part.notes) {
        const std::int64_t tick = timeline_.at(part.track, note.on);
        struck.push_back({tick, seconds_at(tick), note.key, note.velocity});
      }
    }
    std::sort(struck.begin(), struck.end(), [](const Struck& a, const Struck& b) {
      return a.tick != b.tick ? a.tick < b.tick : a.key < b.key;
    });
    double first = -INFINITY;
    for (const Struck& note : struck) {
      ticks_.push_back(note.tick);
      if (note.seconds - first > together_s) {
        onsets_.emplace_back();
        first = note.seconds;
      }
      Onset& onset = onsets_.back();
      onset.seconds += (note.seconds - onset.seconds) / ++onset.notes;
      onset.key = std::max(onset.key, note.key);
      onset.loudness = std::max(onset.loudness, static_cast<double>(note.velocity));
    }
    const auto count = static_cast<double>(onsets_.size());
    double mean = 0;
    double squares = 0;
    for (const Onset& onset : onsets_) mean += onset.loudness / count;
    for (const Onset& onset : onsets_) squares += std::pow(onset.loudness - mean, 2) / count;
    const double spread = std::sqrt(squares);
    for (Onset& onset : onsets_) onset.loudness = spread > 0 ? (onset.loudness - mean) / spread : 0.0;
    return onsets_.size() >= fewest_in_take && onsets_.size() <= most_in_take;
  }

  // Odd tuplets are on no usual grid, and yet exact. They divide beats: an even stream of longer notes is in
  // another tempo, of which the beats happen to be so many fifths of the file's.
  bool is_exact() {
    std::vector<std::int64_t> ticks = ticks_;
    ticks.erase(std::unique(ticks.begin(), ticks.end()), ticks.end());
    std::vector<std::int64_t> gaps;
    for (std::size_t i = 1; i < ticks.size(); ++i) gaps.push_back(ticks[i] - ticks[i - 1]);
    const auto middle = gaps.begin() + static_cast<std::ptrdiff_t>(gaps.size() / 2);
    std::nth_element(gaps.begin(), middle, gaps.end());
    if (*middle > timeline_.map().ticks_per_quarter) return false;
    const Bars bars = lay_out_bars(timeline_.map(), ticks.back() + 1, untold_);
    return quantize_onsets(ticks, timeline_.map(), bars, std::nullopt).exact;
  }

  // What the beats of the file tell of an onset, as Pulse::gain says it of a pulse of its own.
  double gain_of_file() const {
    const TempoMap& map = timeline_.map();
    double best = -INFINITY;
    for (const int parts : clicked_parts) {
      const double step = static_cast<double>(map.ticks_per_quarter) / parts;
      for (const double spread : clicked_spreads_s) {
        // Steps about as short as the spread are never far from any onset.
        if (step * map.seconds_per_tick_at(ticks_.front()) < least_spreads_in_step * spread) continue;
        double gain = 0;
        std::array<double, clicked_parts.back()> counts{};
        for (const std::int64_t tick : ticks_) {
          const double per_tick = map.seconds_per_tick_at(tick);
          const double nearest = std::round(static_cast<double>(tick) / step);
          const double late = (static_cast<double>(tick) - nearest * step) * per_tick;
          const double likely =
              std::exp(-late * late / (2 * spread * spread)) / (spread * std::sqrt(2 * std::numbers::pi));
          gain += std::log((1 - off_click) * likely * step * per_tick + off_click);
          counts.at(static_cast<std::size_t>(std::llround(nearest) % parts)) += 1;
        }
        const auto all = static_cast<double>(ticks_.size());
        for (const double count : counts) gain += count > 0 ? count * std::log(count * parts / all) : 0.0;
        best = std::max(best, gain / static_cast<double>(ticks_.size()));
      }
    }
    return best;
  }

  // 4/4 is what recorders write where nothing was asked for: it says nothing.
  TakeHints hints_given() const {
    TakeHints known;
    known.grid = options_.grid;
    known.pickup = options_.pickup;
    for (const MeterPoint& point : timeline_.map().meters) {
      if (point.tick <= ticks_.front()) known.meter = point.meter;
    }
    if (known.meter == Meter{} && !options_.meter) known.meter.reset();
    return known;
  }

  std::vector<SteppedNote> stepped(const Pulse& pulse, const Breath& without = {}) const {
    std::vector<SteppedNote> result;
    for (std::size_t i = 0; i < onsets_.size(); ++i) {
      if (!pulse.steps[i]) continue;
      const std::int64_t step = *pulse.steps[i] - (i >= without.onset ? without.steps : 0);
      result.push_back({step, onsets_[i].key, onsets_[i].loudness});
    }
    return result;
  }

  // Whoever waits between phrases for a step or more begins the next one as if nothing had been.
  void take_out_breaths(Pulse& pulse, TakeMeter& meter, const TakeHints& known) const {
    const TakeHints same{meter.meter, meter.step_value, known.pickup};
    auto now = find_meter(stepped(pulse), pulse.step_s, same);
    for (int i = 0; i < most_breaths && now; ++i) {
      std::optional<Breath> breath;
      double best = now->score + least_breath_gain;
      for (const Breath& longest : longest_pauses(pulse, meter)) {
        for (Breath one{longest.onset, 1}; one.steps <= longest.steps; ++one.steps) {
          const auto without = find_meter(stepped(pulse, one), pulse.step_s, same);
          if (!without || without->score <= best) continue;
          best = without->score;
          breath = one;
        }
      }
      if (!breath) return;
      halt(pulse, *breath);
      now = find_meter(stepped(pulse), pulse.step_s, same);
      if (const auto found = find_meter(stepped(pulse), pulse.step_s, known)) meter = *found;
    }
  }

  // And how much of each may be a breath.
  static std::vector<Breath> longest_pauses(const Pulse& pulse, const TakeMeter& meter) {
    const std::int64_t measure = (meter.meter.length() / meter.step_value).floor();
    const std::int64_t most =
        std::min(measure - 1, static_cast<std::int64_t>(longest_breath_s / pulse.step_s));
    std::vector<Breath> pauses;
    std::optional<std::int64_t> before;
    for (std::size_t i = 0; i < pulse.steps.size(); ++i) {
      if (!pulse.steps[i]) continue;
      if (before && *pulse.steps[i] - *before > 1) pauses.push_back({i, *pulse.steps[i] - *before - 1});
      before = pulse.steps[i];
    }
    std::stable_sort(pauses.begin(), pauses.end(),
                     [](const Breath& a, const Breath& b) { return a.steps > b.steps; });
    if (pauses.size() > pauses_looked_at) pauses.resize(pauses_looked_at);
    for (Breath& pause : pauses) pause.steps = std::min(pause.steps, most);
    return pauses;
  }

  Take retime(const Pulse& pulse, const TakeMeter& meter) {
    Take take;
    const Fraction measure = meter.meter.length();
    const auto first_on_step = std::find_if(pulse.steps.begin(), pulse.steps.end(),
                                            [](const auto& step) { return step.has_value(); });
    const std::int64_t first = **first_on_step;
    const std::int64_t in_measure = (measure / meter.step_value).floor();
    take.pickup = meter.step_value * (((meter.downbeat - first) % in_measure + in_measure) % in_measure);
    take.residual =
        std::sqrt(2 / std::numbers::pi) * pulse.spread_s / pulse.step_s * meter.step_value.to_double();
    const bool all_on_steps = pulse.on_steps >= nearly_all;
    if (!meter.swung && all_on_steps) take.grid = meter.step_value;
    if (options_.grid) take.grid = options_.grid;
    const Fraction start = take.pickup == 0 ? Fraction(0) : measure - take.pickup;
    const double ticks_per_step = meter.step_value.to_double() * 4 * ticks_per_quarter;
    const auto tick_of_step = [&](double step) {
      const double tick =
          start.to_double() * 4 * ticks_per_quarter + (step - static_cast<double>(first)) * ticks_per_step;
      return std::llround(std::clamp(tick, 0.0, static_cast<double>(last_tick)));
    };
    const auto moved = [&](double seconds) { return tick_of_step(pulse.step_at(seconds)); };

    for (PlayedPart& part : parts_) {
      for (PlayedNote& note : part.notes) {
        const double on = seconds_of(part, note.on);
        note.off = moved(seconds_of(part, note.off));
        note.on = tick_of_step(pulse.step_at(on) - steps_late(pulse, on, all_on_steps));
        note.off = std::max(note.off, note.on + 1);
      }
      std::stable_sort(part.notes.begin(), part.notes.end(),
                       [](const PlayedNote& a, const PlayedNote& b) { return a.on < b.on; });
      for (BendPoint& bend : part.bends) bend.tick = moved(seconds_of(part, bend.tick));
    }
    for (std::size_t i = 0; i < scan_.tracks.size(); ++i) {
      ScannedTrack& track = scan_.tracks[i];
      for (MetaEvent& meta : track.metas) meta.tick = moved(seconds_at(timeline_.at(i, meta.tick)));
      track.end = moved(seconds_at(timeline_.at(i, track.end)));
    }
    scan_.division = {ticks_per_quarter, 0, 0};
    const double quarter_s = pulse.step_s / (meter.step_value.to_double() * 4);
    state(quarter_s, meter.meter);
    tell(pulse, meter, take, quarter_s);
    return take;
  }

  // How far the onset that begins at a time, or its other notes, is from the step that it stands on.
  double steps_late(const Pulse& pulse, double seconds, bool all_on_steps) const {
    const auto after = std::upper_bound(onsets_.begin(), onsets_.end(), seconds + together_s / 2,
                                        [](double t, const Onset& onset) { return t < onset.seconds; });
    const auto at = static_cast<std::size_t>(std::max<std::ptrdiff_t>(1, after - onsets_.begin()) - 1);
    if (std::abs(onsets_[at].seconds - seconds) > together_s) return 0.0;
    const double step = pulse.step_at(onsets_[at].seconds);
    if (pulse.steps[at]) return step - static_cast<double>(*pulse.steps[at]);
    return all_on_steps ? step - std::round(step) : 0.0;
  }

  // Writes the tempo and the meter that were found where the file's own stood.
  void state(double quarter_s, const Meter& meter) {
    // A whole number of beats a minute: more than that nobody can hear in a take.
    const double beat = meter.beat().to_double() * 4;
    const double a_minute = std::max(1.0, std::round(60 / (quarter_s * beat)));
    const auto us = std::clamp(std::llround(60e6 / (a_minute * beat)), 1LL, 0xFFFFFFLL);
    state_tempo(scan_, static_cast<std::uint32_t>(us));
    state_meter(scan_, meter);
  }

  void tell(const Pulse& pulse, const TakeMeter& meter, const Take& take, double quarter_s) const {
    const Fraction beat = meter.meter.beat();
    const std::string tempo = std::to_string(std::lround(60 / (quarter_s * beat.to_double() * 4)));
    const std::string pickup = take.pickup > 0 ? "a pickup of " + to_string(take.pickup) : "no pickup";
    const std::string grid = meter.swung ? "swung eighths" : "a grid of " + to_string(meter.step_value);
    const std::string fit = std::to_string(std::lround(pulse.on_steps * 100));
    const std::string off = std::to_string(std::lround(take.residual * 4 * quarter_s * 1000));
    report_.add(EntryKind::decision, "midi-take",
                "the playing does not follow the beats of the file; these were found instead: " +
                    to_string(meter.meter) + ", " + value_name(beat) + " = " + tempo + ", " + pickup +
                    " and " + grid + ", which " + fit + " % of the notes fit, " + off + " ms off on average" +
                    (pulse.breaths == 0   ? ""
                     : pulse.breaths == 1 ? "; a pause between phrases was taken as a breath"
                                          : "; " + std::to_string(pulse.breaths) +
                                                " pauses between phrases were taken as breaths"));
  }

  static std::string value_name(Fraction value) {
    return engraving::spoken_name(engraving::single_value(engraving::units_in(value)));
  }

  Scan& scan_;
  std::vector<PlayedPart>& parts_;
  const ReadOptions& options_;
  Report& report_;
  Report untold_;  // what is said of the file as it is; it is said again, of the file as it will be
  Timeline timeline_;
  std::vector<double> tempo_seconds_;  // at each tempo of the map
  std::vector<std::int64_t> ticks_;    // of all notes, ascending
  std::vector<Onset> onsets_;
};

}  // namespace

std::optional<Take> retime_take(Scan& scan, std::vector<PlayedPart>& parts, const ReadOptions& options,
                                Report& report) {
  if (scan.format == 2 || parts.empty() || options.keep_beats) return std::nullopt;
  return TakeReader(scan, parts, options, report).run();
}

}  // namespace fifthpeg::midi::reader
