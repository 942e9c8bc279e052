#include "formats/audio/string_voice.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace fifthpeg::audio {
namespace {

constexpr int control_samples = 64;   // from one look at pitch and decay to the next
constexpr double unheard = 1e-6;      // -120 dB
constexpr double shortest_delay = 3;  // that the cubic can read
constexpr double longest_delay = StringLoop::size - 8.0;
constexpr double nearest_to_half = 0.5;  // a string is the same from either end

double raised_cosine(double at, double width) {
  return at < width ? 0.5 - 0.5 * std::cos(2 * std::numbers::pi * at / width) : 0;
}

}  // namespace

void StringVoice::begin(StringNote note) {
  const bool on_sounding_string = sounds_ && note.strike != Strike::pluck;
  const bool still_fading = fade_left_ > 0;
  note_ = std::move(note);
  move_start_ = now_;
  moves_from_hz_ = note_.hz;
  if (on_sounding_string || (sounds_ && still_fading)) {
    moves_from_hz_ = hz_;
  } else {
    if (sounds_) {
      // Goes on as it was, and out.
      loops_.at(current_).tune(loops_.at(current_).now());
      fade_left_ = static_cast<std::int64_t>(fade_seconds * rate_);
    }
    current_ = 1 - current_;
    loops_.at(current_).clear();
    hz_ = wanted_hz(now_);
    seconds_ = wanted_seconds();
    loops_.at(current_).tune(tuned(hz_, seconds_));
  }
  set_moving(on_sounding_string);
  sounds_ = true;
  quiet_ = 0;
  until_control_ = 0;
}

// The pulse of the pick, with its noise, through the comb of the place where it strikes.
void StringVoice::set_moving(bool on_sounding_string) {
  Touch touch{1, 1, settings_.pick_distance / note_.length, 1};
  if (note_.strike == Strike::hammer) touch = hammer_touch;
  if (note_.strike == Strike::pull) touch = pull_touch;
  if (note_.strike == Strike::slide && on_sounding_string) touch = slide_touch;
  if (note_.harmonic) {
    touch.width *= chime_width;
    touch.strength *= chime_strength;
  }
  if (note_.dead) {
    touch.width *= dead_width;
    touch.noise *= dead_noise;
  }
  const double place = std::min(touch.place, nearest_to_half);
  const double width = settings_.pulse_seconds * touch.width * (2 - note_.strength) * rate_;
  const double noise_length = noise_seconds * rate_;
  const auto length = static_cast<std::size_t>(std::ceil(std::max(width, noise_length)));
  pulse_.resize(length);
  for (std::size_t i = 0; i < length; ++i) {
    const auto at = static_cast<double>(i);
    const double hiss = at < noise_length ? settings_.noise * touch.noise * (1 - at / noise_length) : 0;
    pulse_[i] =
        note_.strength * touch.strength *
        (raised_cosine(at + 0.5, width) + hiss * noise_.next() * raised_cosine(at + 0.5, 2 * noise_length));
  }
  const double back = std::min(place * rate_ / note_.hz, longest_delay);
  const auto whole = static_cast<std::size_t>(back);
  const double rest = back - static_cast<double>(whole);
  // The wave has half of that way to go to the bridge.
  const std::size_t first = whole / 2;
  combed_.assign(first + length + whole + 1, 0);
  for (std::size_t i = 0; i < length; ++i) {
    combed_[first + i] += pulse_[i];
    combed_[first + i + whole] -= (1 - rest) * pulse_[i];
    combed_[first + i + whole + 1] -= rest * pulse_[i];
  }
  next_of_pulse_ = 0;
}

double StringVoice::wanted_hz(std::int64_t at) const {
  double cents = 0;
  for (const StringGlide& glide : note_.glides) {
    if (at < glide.from) break;
    const double share =
        at >= glide.to ? 1
                       : static_cast<double>(at - glide.from) / static_cast<double>(glide.to - glide.from);
    cents = glide.cents_from + (glide.cents_to - glide.cents_from) * share;
  }
  const double wanted = note_.hz * std::exp2(cents / 1200);
  const double share = static_cast<double>(at - move_start_) / (move_seconds * rate_);
  return share >= 1 ? wanted : moves_from_hz_ * std::pow(wanted / moves_from_hz_, share);
}

double StringVoice::wanted_seconds() const {
  const double open = settings_.decay_seconds * std::pow(note_.hz / reference_hz, -settings_.decay_slope);
  double seconds = note_.dead ? settings_.dead_seconds : open;
  if (now_ >= note_.end) {
    if (note_.release == Release::lift) seconds = std::min(seconds, settings_.lift_seconds);
    if (note_.release == Release::stop) seconds = std::min(seconds, settings_.stop_seconds);
  }
  return seconds;
}

StringLoop::Tuned StringVoice::tuned(double hz, double seconds) const {
  const double w = 2 * std::numbers::pi * hz / rate_;
  const double bright_w = 2 * std::numbers::pi * std::max(bright_hz, 2 * hz) / rate_;
  const double bright = std::min(settings_.bright_seconds, 0.9 * seconds);
  // What is left after a period of the fundamental, and of what is bright: Jaffe and Smith's decay shortening
  // and stretching, solved for both times. |(1 - s) + s e^-iw|^2 = 1 - 2 s (1 - s)(1 - cos w).
  const double of_fundamental = std::pow(10, -3 / (hz * seconds));
  const double of_bright = std::pow(10, -3 / (hz * bright));
  const double ratio = of_bright * of_bright / (of_fundamental * of_fundamental);
  const double p = std::clamp((1 - ratio) / ((1 - std::cos(bright_w)) - ratio * (1 - std::cos(w))), 0.0, 0.5);
  const double s = (1 - std::sqrt(1 - 2 * p)) / 2;
  const double gain = of_fundamental / std::sqrt(1 - p * (1 - std::cos(w)));
  const double taken = std::atan2(s * std::sin(w), 1 - s + s * std::cos(w)) / w;
  return {std::clamp(rate_ / hz - taken, shortest_delay, longest_delay), gain, s};
}

void StringVoice::go_silent() {
  for (StringLoop& loop : loops_) loop.clear();
  sounds_ = false;
  fade_left_ = 0;
}

// Looks where pitch and decay are to be at the next look.
void StringVoice::control() {
  until_control_ = control_samples;
  if (static_cast<double>(quiet_) > rate_ / hz_ + control_samples && next_of_pulse_ >= combed_.size() &&
      fade_left_ == 0) {
    go_silent();
    return;
  }
  const double hz = wanted_hz(now_ + control_samples);
  const double seconds = wanted_seconds();
  StringLoop& loop = loops_.at(current_);
  if (hz == hz_ && seconds == seconds_) {
    loop.tune(loop.now());
    return;
  }
  hz_ = hz;
  seconds_ = seconds;
  loop.tune_within(tuned(hz, seconds), control_samples);
}

void StringVoice::add_to(std::span<double> out) {
  std::size_t i = 0;
  while (i < out.size() && sounds()) {
    if (until_control_ == 0) {
      control();
      continue;
    }
    const std::size_t count = std::min(out.size() - i, static_cast<std::size_t>(until_control_));
    StringLoop& loop = loops_.at(current_);
    StringLoop& fading = loops_.at(1 - current_);
    const double fade_length = fade_seconds * rate_;
    double highest = 0;
    for (std::size_t n = 0; n < count; ++n) {
      const double in = next_of_pulse_ < combed_.size() ? combed_[next_of_pulse_++] : 0;
      double sample = loop.next(in);
      highest = std::max(highest, std::abs(sample));
      if (fade_left_ > 0) {
        sample += fading.next(0) * static_cast<double>(fade_left_) / fade_length;
        --fade_left_;
      }
      out[i + n] += settings_.level * sample;
    }
    const auto passed = static_cast<std::int64_t>(count);
    quiet_ = highest < unheard ? quiet_ + passed : 0;
    now_ += passed;
    until_control_ -= static_cast<int>(count);
    i += count;
  }
  now_ += static_cast<std::int64_t>(out.size() - i);
}

}  // namespace fifthpeg::audio
