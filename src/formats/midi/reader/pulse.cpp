#include "formats/midi/reader/pulse.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <numbers>

namespace fifthpeg::midi::reader {
namespace {

// Found by trial on takes made of fiddle tunes; see the tests.
constexpr double shortest_step_s = 0.075;
constexpr int tried_lengths = 76;           // up to a second
constexpr double candidate_ratio = 1.035;   // from one length that is tried to the next
constexpr double first_uncertainty = 0.03;  // of a candidate's length, as a standard deviation
constexpr double wander = 0.02;             // of the tempo in a second, as a standard deviation
// From a step, in squared standard deviations: what is farther is taken to be between steps.
constexpr double farthest_off = 25;
constexpr double off_step = 0.04;  // share of onsets that stand between the steps
// A breath: between phrases a player may wait for any time and go on in the same tempo. Share of onsets after
// one, and by which part of a step a pause is longer than whole steps, and shorter than the next whole one,
// at least: what is nearer was played off the step. From memory.
constexpr double after_breath = 0.002;
constexpr double least_breath = 0.2;
constexpr std::array<double, 4> spreads_s{0.006, 0.012, 0.020, 0.030};
constexpr double scan_spread_s = 0.016;
constexpr std::size_t scanned_onsets = 160;
constexpr std::size_t scan_beam = 6;
constexpr std::size_t full_beam = 16;
constexpr std::size_t finalists = 6;

// Time and length of a step, with their covariance.
struct StepState {
  double time = 0.0;
  double step = 0.0;
  double time_var = 0.0;
  double covar = 0.0;
  double step_var = 0.0;
};

StepState predict(const StepState& s, double steps) {
  const double wander_var = wander * wander * s.step * s.step * s.step * steps;
  StepState next = s;
  next.time += steps * s.step;
  next.time_var += 2 * steps * s.covar + steps * steps * s.step_var + wander_var * steps * steps / 3;
  next.covar += steps * s.step_var + wander_var * steps / 2;
  next.step_var += wander_var;
  return next;
}

StepState update(const StepState& s, double onset, double noise_var) {
  const double total = s.time_var + noise_var;
  const double of_time = s.time_var / total;
  const double of_step = s.covar / total;
  const double late = onset - s.time;
  StepState next;
  next.time = s.time + of_time * late;
  next.step = s.step + of_step * late;
  next.time_var = (1 - of_time) * s.time_var;
  next.covar = (1 - of_time) * s.covar;
  next.step_var = s.step_var - of_step * s.covar;
  return next;
}

// After a breath only the tempo is what it was.
StepState resume(const StepState& s, double onset, double noise_var) {
  return {onset, s.step, noise_var, 0.0, s.step_var};
}

// How often each step of a group of `modulus` has had an onset, learned as the take goes on: dotted rhythms
// are on the first and the last of four, swung ones on the first and the last of three.
constexpr std::array<int, 2> moduli{3, 4};
constexpr std::size_t most_residues = 4;
constexpr double prior_count = 0.5;

struct Hypothesis {
  StepState state;
  std::array<float, most_residues> counts{};
  double gain = 0.0;
  std::int64_t steps = 0;  // from the first onset to the last one that stands on a step
  std::uint32_t parent = 0;
  bool on_step = true;
  bool breathed = false;  // just before
};

// What is left of a hypothesis once it has been carried on.
struct Trace {
  std::int64_t steps = 0;
  std::uint32_t parent = 0;
  bool on_step = true;
  bool breathed = false;
};

class Tracker {
 public:
  Tracker(const std::vector<double>& onsets, double spread_s, std::size_t beam, int modulus)
      : onsets_(onsets), noise_var_(spread_s * spread_s), beam_(beam), modulus_(modulus) {}

  // Gain of the best way to count the first `count` onsets in steps of about `step`.
  double run(double step, std::size_t count) {
    start_ = step;
    traces_.clear();
    Hypothesis first;
    first.state = first_state();
    first.counts[0] = 1;
    std::vector<Hypothesis> now{first};
    std::vector<Hypothesis> next;
    traces_.push_back({Trace{}});
    for (std::size_t i = 1; i < count; ++i) {
      next.clear();
      for (std::size_t h = 0; h < now.size(); ++h) carry_on(now[h], static_cast<std::uint32_t>(h), i, next);
      keep_best(next);
      auto& trace = traces_.emplace_back();
      for (const Hypothesis& one : next) trace.push_back({one.steps, one.parent, one.on_step, one.breathed});
      std::swap(now, next);
    }
    return now.front().gain / static_cast<double>(count - 1);
  }

  // The clock of the best way that run() has found, looking back from its end.
  Pulse clock(double gain) const {
    std::vector<std::size_t> used;  // onsets on steps
    std::vector<std::int64_t> steps;
    std::vector<bool> breathed;
    std::uint32_t at = 0;
    for (std::size_t i = traces_.size(); i-- > 0;) {
      const Trace& trace = traces_[i][at];
      if (trace.on_step) {
        used.push_back(i);
        steps.push_back(trace.steps);
        breathed.push_back(trace.breathed);
      }
      at = trace.parent;
    }
    std::reverse(used.begin(), used.end());
    std::reverse(steps.begin(), steps.end());
    std::reverse(breathed.begin(), breathed.end());

    std::vector<StepState> predicted;
    std::vector<StepState> filtered{first_state()};
    for (std::size_t i = 1; i < used.size(); ++i) {
      predicted.push_back(predict(filtered.back(), static_cast<double>(steps[i] - steps[i - 1])));
      const double onset = onsets_[used[i]];
      filtered.push_back(breathed[i] ? resume(predicted.back(), onset, noise_var_)
                                     : update(predicted.back(), onset, noise_var_));
    }
    // Rauch, Tung and Striebel's pass backwards; only the means are needed.
    std::vector<StepState> smooth = filtered;
    for (std::size_t i = used.size() - 1; i-- > 0;) {
      if (breathed[i + 1]) continue;
      const StepState& f = filtered[i];
      const StepState& p = predicted[i];
      const double n = static_cast<double>(steps[i + 1] - steps[i]);
      const double det = p.time_var * p.step_var - p.covar * p.covar;
      const double a = f.time_var + n * f.covar;  // covariance of now with the prediction
      const double c = f.covar + n * f.step_var;
      const double late = smooth[i + 1].time - p.time;
      const double slower = smooth[i + 1].step - p.step;
      const double to_time = (late * p.step_var - slower * p.covar) / det;
      const double to_step = (slower * p.time_var - late * p.covar) / det;
      smooth[i].time = f.time + a * to_time + f.covar * to_step;
      smooth[i].step = f.step + c * to_time + f.step_var * to_step;
    }
    Pulse pulse;
    pulse.gain = gain;
    pulse.steps.resize(traces_.size());
    for (std::size_t i = 0; i < used.size(); ++i) pulse.steps[used[i]] = steps[i];
    pulse.on_steps = static_cast<double>(used.size()) / static_cast<double>(traces_.size());
    double squares = 0;
    double waited_s = 0;
    for (std::size_t i = 0; i < used.size(); ++i) {
      if (breathed[i]) {
        ++pulse.breaths;
        const auto steps_held = static_cast<double>(steps[i] - steps[i - 1]);
        const double ends = smooth[i - 1].time + steps_held * smooth[i - 1].step;
        waited_s += smooth[i].time - ends;
        if (ends > pulse.knots.back().seconds) pulse.knots.push_back({ends, static_cast<double>(steps[i])});
      }
      const double late = onsets_[used[i]] - smooth[i].time;
      squares += late * late;
      const double after = pulse.knots.empty() ? -INFINITY : pulse.knots.back().seconds;
      if (smooth[i].time > after) pulse.knots.push_back({smooth[i].time, static_cast<double>(steps[i])});
    }
    pulse.spread_s = std::sqrt(squares / static_cast<double>(used.size()));
    const Pulse::Knot& last = pulse.knots.back();
    pulse.step_s = (last.seconds - pulse.knots.front().seconds - waited_s) / std::max(1.0, last.step);
    return pulse;
  }

 private:
  StepState first_state() const {
    return {onsets_.front(), start_, noise_var_, 0.0, std::pow(first_uncertainty * start_, 2)};
  }

  // What so many whole steps of a pause leave over is a breath.
  Hypothesis after_pause(const Hypothesis& from, std::uint32_t index, double onset,
                         std::int64_t whole) const {
    Hypothesis next = from;
    next.state = resume(predict(from.state, static_cast<double>(whole)), onset, noise_var_);
    next.gain += std::log(after_breath);
    next.steps += whole;
    next.counts.at(static_cast<std::size_t>(next.steps % modulus_)) += 1;
    next.parent = index;
    next.on_step = next.breathed = true;
    return next;
  }

  void carry_on(const Hypothesis& from, std::uint32_t index, std::size_t at,
                std::vector<Hypothesis>& to) const {
    const double onset = onsets_[at];
    Hypothesis off = from;
    off.gain += std::log(off_step);
    off.parent = index;
    off.on_step = off.breathed = false;
    to.push_back(off);
    const double later = (onset - from.state.time) / from.state.step;
    const double pause = (onset - onsets_[at - 1]) / from.state.step;
    if (pause >= 1 + least_breath) {
      const auto whole = static_cast<std::int64_t>(later);
      to.push_back(after_pause(from, index, onset, whole));
      // A breath as long as a step, or a little longer, leaves one whole step less.
      if (whole > 1 && later - static_cast<double>(whole) < least_breath)
        to.push_back(after_pause(from, index, onset, whole - 1));
    }
    const auto nearest = std::llround(later);
    for (std::int64_t n = std::max<std::int64_t>(1, nearest - 1); n <= nearest + 1; ++n) {
      const StepState ahead = predict(from.state, static_cast<double>(n));
      const double var = ahead.time_var + noise_var_;
      const double late = onset - ahead.time;
      if (late * late > farthest_off * var) continue;
      const double likely = std::exp(-late * late / (2 * var)) / std::sqrt(2 * std::numbers::pi * var);
      const auto residue = static_cast<std::size_t>((from.steps + n) % modulus_);
      double counted = 0;
      for (const float count : from.counts) counted += static_cast<double>(count);
      const double often =
          (static_cast<double>(from.counts.at(residue)) + prior_count) / (counted / modulus_ + prior_count);
      const double told = std::log((1 - off_step) * likely * often * from.state.step + 1e-12);
      if (told < std::log(off_step) - 3) continue;
      Hypothesis on;
      on.state = update(ahead, onset, noise_var_);
      on.gain = from.gain + told;
      on.steps = from.steps + n;
      on.counts = from.counts;
      on.counts.at(residue) += 1;
      on.parent = index;
      to.push_back(on);
    }
  }

  // Of those that have counted the same, the best; of all, as many as are carried on.
  void keep_best(std::vector<Hypothesis>& all) const {
    std::sort(all.begin(), all.end(),
              [](const Hypothesis& a, const Hypothesis& b) { return a.gain > b.gain; });
    std::size_t kept = 0;
    for (std::size_t i = 0; i < all.size() && kept < beam_; ++i) {
      const bool known = std::any_of(
          all.begin(), all.begin() + static_cast<std::ptrdiff_t>(kept),
          [&](const Hypothesis& one) { return one.steps == all[i].steps && one.on_step == all[i].on_step; });
      if (!known) all[kept++] = all[i];
    }
    all.resize(kept);
  }

  const std::vector<double>& onsets_;
  double noise_var_;
  std::size_t beam_;
  int modulus_;
  double start_ = 0.0;
  std::vector<std::vector<Trace>> traces_;
};

}  // namespace

double Pulse::step_at(double seconds) const {
  auto after = std::upper_bound(knots.begin(), knots.end(), seconds,
                                [](double t, const Knot& knot) { return t < knot.seconds; });
  after = std::clamp(after, knots.begin() + 1, knots.end() - 1);
  const Knot& a = *(after - 1);
  const Knot& b = *after;
  return a.step + (seconds - a.seconds) / (b.seconds - a.seconds) * (b.step - a.step);
}

std::vector<Pulse> find_pulses(const std::vector<double>& onsets) {
  std::vector<Pulse> result;
  if (onsets.size() < fewest_in_take || onsets.size() > most_in_take) return result;
  struct Candidate {
    double gain;
    double step;
    int modulus;
  };
  std::vector<Candidate> candidates;
  const std::size_t scanned = std::min(onsets.size(), scanned_onsets);
  for (const int modulus : moduli) {
    Tracker scan(onsets, scan_spread_s, scan_beam, modulus);
    for (int i = 0; i < tried_lengths; ++i) {
      const double step = shortest_step_s * std::pow(candidate_ratio, i);
      candidates.push_back({scan.run(step, scanned), step, modulus});
    }
  }
  std::sort(candidates.begin(), candidates.end(),
            [](const auto& a, const auto& b) { return a.gain > b.gain; });
  std::vector<Candidate> tried;
  for (const Candidate& one : candidates) {
    if (tried.size() == finalists) break;
    if (std::any_of(tried.begin(), tried.end(), [&](const Candidate& other) {
          return other.modulus == one.modulus &&
                 std::abs(std::log(other.step / one.step)) < 1.5 * std::log(candidate_ratio);
        })) {
      continue;
    }
    tried.push_back(one);
    std::optional<Pulse> best;
    for (const double spread : spreads_s) {
      Tracker tracker(onsets, spread, full_beam, one.modulus);
      const double gain = tracker.run(one.step, onsets.size());
      if (!best || gain > best->gain) best = tracker.clock(gain);
    }
    if (best->knots.size() > 1) result.push_back(std::move(*best));
  }
  std::sort(result.begin(), result.end(), [](const Pulse& a, const Pulse& b) { return a.gain > b.gain; });
  return result;
}

}  // namespace fifthpeg::midi::reader
