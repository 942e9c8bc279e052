#include "formats/audio/file/limiter.hpp"

#include <algorithm>
#include <cmath>

namespace fifthpeg::audio {
namespace {

// By figures: short enough to keep an attack an attack, long enough not to be heard as distortion.
constexpr double ahead_seconds = 0.0015;
constexpr double let_up_seconds = 0.06;

}  // namespace

Limiter::Limiter(double ceiling, double rate)
    : ceiling_(ceiling),
      ahead_(static_cast<std::size_t>(ahead_seconds * rate)),
      let_up_(1 - std::exp(-1 / (let_up_seconds * rate))),
      samples_(ahead_ + 1, 0),
      held_(ahead_ + 1, 1),
      sum_(static_cast<double>(ahead_ + 1)) {}

// Each gain that is needed is held for as long as the mean is, from the moment it is known: the mean of as
// many has come down to it when its sample comes out, and is never above it then.
double Limiter::next(double sample) {
  const double level = std::abs(sample);
  const double wanted = level > ceiling_ ? ceiling_ / level : 1;
  while (!needed_.empty() && needed_.back().second >= wanted) needed_.pop_back();
  needed_.emplace_back(at_, wanted);
  while (needed_.front().first + ahead_ < at_) needed_.pop_front();
  const double least = needed_.front().second;
  released_ = std::min(least, released_ + (1 - released_) * let_up_);

  const std::size_t place = at_ % held_.size();
  sum_ += released_ - held_[place];
  held_[place] = released_;
  samples_[place] = sample;
  ++at_;
  const double out = samples_[at_ % samples_.size()];
  const double gain = std::min(1.0, sum_ / static_cast<double>(held_.size()));
  least_gain_ = std::min(least_gain_, gain);
  return std::clamp(gain * out, -ceiling_, ceiling_);
}

}  // namespace fifthpeg::audio
