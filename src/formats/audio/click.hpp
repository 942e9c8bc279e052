// The click of a metronome: a short burst of noise through a band.
#pragma once

#include <cstdint>
#include <span>

#include "formats/audio/filter.hpp"
#include "formats/audio/noise.hpp"
#include "formats/audio/settings.hpp"

namespace fifthpeg::audio {

class ClickVoice {
 public:
  explicit ClickVoice(double rate) : rate_(rate), filter_(Filter::band(click_hz, click_q, rate)) {}

  // From the next sample on.
  void begin(bool accent) {
    filter_ = Filter::band(accent ? click_accent_hz : click_hz, click_q, rate_);
    level_ = accent ? click_accent_level : click_level;
    noise_ = Noise(1);
    passed_ = 0;
    left_ = static_cast<std::int64_t>(click_seconds * rate_);
  }

  // Adds the samples that come next.
  void add_to(std::span<double> out) {
    const double burst = click_noise_seconds * rate_;
    for (double& sample : out) {
      if (left_ == 0) return;
      const auto at = static_cast<double>(passed_);
      const double in = at < burst ? (1 - at / burst) * noise_.next() : 0;
      sample += level_ * filter_.next(in);
      ++passed_;
      --left_;
    }
  }

 private:
  double rate_;
  Filter filter_;
  Noise noise_{1};
  double level_ = 0;
  std::int64_t passed_ = 0;
  std::int64_t left_ = 0;
};

}  // namespace fifthpeg::audio
