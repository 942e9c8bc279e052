// The pulse of a take that was played freely: the steady stream of equal steps that its onsets stand on.
//
// A switching Kalman filter, after A. T. Cemgil and B. Kappen, "Monte Carlo Methods for Tempo Tracking and
// Rhythm Quantization", Journal of Artificial Intelligence Research 18 (2003): what is hidden is the time and
// the length of a step, which wander, and how many steps lie between one onset and the next; of the ways to
// count them the most probable ones are carried on. An onset may also stand between the steps. How fine the
// steps are is decided by what they tell about each onset beyond its cell: halving them costs one bit an
// onset.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

namespace fifthpeg::midi::reader {

struct Pulse {
  double gain = 0.0;        // nats that the steps tell of an onset, on average
  double spread_s = 0.0;    // how far the onsets are played from the steps, as a standard deviation
  double on_steps = 0.0;    // share of the onsets that stand on steps
  double step_s = 0.0;      // length of a step, on average
  std::size_t breaths = 0;  // pauses that no steps are counted in, or fewer
  std::vector<std::optional<std::int64_t>>
      steps;  // of each onset, from that of the first; not set: between steps
  // Knots of the clock, in order: at `seconds` step `step` comes.
  struct Knot {
    double seconds = 0.0;
    double step = 0.0;
  };
  std::vector<Knot> knots;  // two at least

  // Steps at a time: between knots in proportion, outside by the nearest two.
  double step_at(double seconds) const;
};

// Fewer onsets say nothing about their pulse; more would take long, and nobody plays them in one go.
inline constexpr std::size_t fewest_in_take = 12;
inline constexpr std::size_t most_in_take = 30'000;

// The pulses that explain the onsets (in seconds, ascending), best first, each of another length. Empty where
// there are too few or too many.
std::vector<Pulse> find_pulses(const std::vector<double>& onsets);

}  // namespace fifthpeg::midi::reader
