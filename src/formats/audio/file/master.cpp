#include "formats/audio/file/master.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "formats/audio/file/limiter.hpp"
#include "formats/audio/loudness.hpp"
#include "formats/audio/renderer.hpp"

namespace fifthpeg::audio {
namespace {

constexpr std::size_t piece_samples = 4096;
constexpr double near_enough = 0.2;  // LU
constexpr int most_tries = 4;
// The limiter takes back about a third of what is added.
constexpr double gain_for_one_heard = 1.5;
// Peaks that are turned down by more than this sound squeezed (by figures).
constexpr double least_gain = 0.25;  // -12 dB

double factor(double decibels) {
  return std::pow(10, decibels / 20);
}

struct Heard {
  double loudness = 0;
  double peak = 0;
};

Heard listen(const Sounding& sounding, const Master& master) {
  LoudnessMeter meter(sample_rate);
  Heard heard;
  play(sounding, master, [&](std::span<const double> samples) {
    meter.add(samples);
    for (const double sample : samples) heard.peak = std::max(heard.peak, std::abs(sample));
  });
  heard.loudness = meter.loudness();
  return heard;
}

}  // namespace

void play(const Sounding& sounding, const Master& master,
          const std::function<void(std::span<const double>)>& take) {
  Renderer renderer(sounding);
  std::optional<Limiter> limiter;
  if (master.limited) limiter.emplace(written_peak, sample_rate);
  auto left = static_cast<std::size_t>(renderer.length());
  std::size_t to_skip = limiter ? limiter->delay() : 0;
  left += to_skip;
  std::vector<double> samples(piece_samples);
  while (left > 0) {
    const auto piece = std::span(samples).first(std::min(piece_samples, left));
    renderer.next(piece);
    for (double& sample : piece)
      sample = limiter ? limiter->next(master.gain * sample) : master.gain * sample;
    const std::size_t skipped = std::min(to_skip, piece.size());
    to_skip -= skipped;
    take(piece.subspan(skipped));
    left -= piece.size();
  }
}

Master master(const Sounding& sounding) {
  Master result;
  const Heard plain = listen(sounding, result);
  if (!std::isfinite(plain.loudness)) return result;
  result.gain = factor(written_loudness - plain.loudness);
  if (result.gain * plain.peak <= written_peak) return result;
  result.limited = true;
  const double most_gain = written_peak / (least_gain * plain.peak);
  for (int i = 0; i < most_tries; ++i) {
    result.gain = std::min(result.gain, most_gain);
    const double missing = written_loudness - listen(sounding, result).loudness;
    result.softer_by = std::max(0.0, missing);
    if (std::abs(missing) < near_enough || (missing > 0 && result.gain >= most_gain)) break;
    if (i + 1 < most_tries) result.gain *= factor(gain_for_one_heard * missing);
  }
  return result;
}

}  // namespace fifthpeg::audio
