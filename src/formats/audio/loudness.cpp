#include "formats/audio/loudness.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "fifthpeg/audio.hpp"

namespace fifthpeg::audio {
namespace {

// Blocks of 400 ms that overlap by three quarters.
constexpr double step_seconds = 0.1;
constexpr std::size_t steps_a_block = 4;
constexpr double offset_lufs = -0.691;
constexpr double absolute_gate_lufs = -70;
constexpr double relative_gate_lu = -10;

double lufs(double mean_square) {
  return mean_square > 0 ? offset_lufs + 10 * std::log10(mean_square)
                         : -std::numeric_limits<double>::infinity();
}

// The mean of the blocks above a gate, or nothing as 0.
double mean_above(const std::vector<double>& blocks, double gate) {
  double sum = 0;
  std::size_t count = 0;
  for (const double block : blocks) {
    if (lufs(block) <= gate) continue;
    sum += block;
    ++count;
  }
  return count == 0 ? 0 : sum / static_cast<double>(count);
}

}  // namespace

// The recommendation states coefficients for 48 kHz and asks for the same response at other rates. These are
// the analog filters that they come from by the bilinear transform; at 48 kHz they give the stated ones.
LoudnessMeter::Stage LoudnessMeter::shelf(double rate) {
  constexpr double hz = 1681.974450955533;
  constexpr double gain_db = 3.999843853973347;
  constexpr double q = 0.7071752369554196;
  const double k = std::tan(std::numbers::pi * hz / rate);
  const double high = std::pow(10, gain_db / 20);
  const double band = std::pow(high, 0.4996667741545416);
  const double a0 = 1 + k / q + k * k;
  return {(high + band * k / q + k * k) / a0, 2 * (k * k - high) / a0, (high - band * k / q + k * k) / a0,
          2 * (k * k - 1) / a0, (1 - k / q + k * k) / a0};
}

LoudnessMeter::Stage LoudnessMeter::high_pass(double rate) {
  constexpr double hz = 38.13547087602444;
  constexpr double q = 0.5003270373238773;
  const double k = std::tan(std::numbers::pi * hz / rate);
  const double a0 = 1 + k / q + k * k;
  return {1, -2, 1, 2 * (k * k - 1) / a0, (1 - k / q + k * k) / a0};
}

LoudnessMeter::LoudnessMeter(double rate)
    : shelf_(shelf(rate)),
      high_pass_(high_pass(rate)),
      step_(static_cast<std::size_t>(std::lround(step_seconds * rate))) {}

void LoudnessMeter::add(std::span<const double> samples) {
  constexpr double nothing = 1e-15;  // keeps the filters out of denormal numbers
  for (const double sample : samples) {
    const double weighted = high_pass_.next(shelf_.next(sample + nothing));
    sum_ += weighted * weighted;
    if (++in_step_ < step_) continue;
    steps_.push_back(sum_ / static_cast<double>(step_));
    sum_ = 0;
    in_step_ = 0;
  }
}

double LoudnessMeter::loudness() const {
  std::vector<double> blocks;
  blocks.reserve(steps_.size());
  for (std::size_t i = 0; i + steps_a_block <= steps_.size(); ++i) {
    blocks.push_back((steps_[i] + steps_[i + 1] + steps_[i + 2] + steps_[i + 3]) / steps_a_block);
  }
  const double above_absolute = mean_above(blocks, absolute_gate_lufs);
  if (above_absolute <= 0) return -std::numeric_limits<double>::infinity();
  const double gate = std::max(absolute_gate_lufs, lufs(above_absolute) + relative_gate_lu);
  return lufs(mean_above(blocks, gate));
}

}  // namespace fifthpeg::audio

namespace fifthpeg {

double loudness(std::span<const float> samples, int rate) {
  audio::LoudnessMeter meter(rate);
  const std::vector<double> wide(samples.begin(), samples.end());
  meter.add(wide);
  return meter.loudness();
}

}  // namespace fifthpeg
