// One string: the plucked-string model of K. Karplus and A. Strong (Computer Music Journal 7(2), 1983) with
// the tuning, loss and pick position filters of D. Jaffe and J. Smith (same issue).
//
//       pulse + noise -> pick position -> (+) -------------------+--> sound
//                                          ^                     |
//                                          +--- loss <--- delay -+
//
// delay          one period less what the loss filter takes, read between samples by a cubic (Lagrange), so
//                that pitch may move while it sounds: every bend, and a hammer-on too, is the delay moving
// loss           gain * ((1 - s) x[n] + s x[n-1]): s and gain such that the fundamental and the partials at
//                bright_hz each fall by 60 dB in their own times; a hand on the string shortens these
// pick position  x[n] - x[n - p periods]: takes out the partials that have a node where the string is set
//                moving
//
// A string that is struck again starts from silence, and what it did before fades out beside it.
// Figures are in settings.hpp.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "formats/audio/noise.hpp"
#include "formats/audio/settings.hpp"

namespace fifthpeg::audio {

// The delay line with what closes it to a loop.
class StringLoop {
 public:
  static constexpr std::size_t size = 4096;  // samples; a power of two

  // What delay, gain and s are to be after `samples` more; in between they move evenly.
  struct Tuned {
    double delay = 100;
    double gain = 0;
    double s = 0;
  };
  void tune(const Tuned& tuned) { now_ = tuned, step_ = {0, 0, 0}; }
  void tune_within(const Tuned& tuned, double samples) {
    step_ = {(tuned.delay - now_.delay) / samples, (tuned.gain - now_.gain) / samples,
             (tuned.s - now_.s) / samples};
  }
  void clear() {
    line_.fill(0);
    last_ = 0;
  }
  const Tuned& now() const { return now_; }

  double next(double in) {
    const auto whole = static_cast<std::size_t>(now_.delay);
    const double t = now_.delay - static_cast<double>(whole);
    const std::size_t first = at_ - whole + 1;
    const double a = t + 1;
    const double b = t - 1;
    const double c = t - 2;
    const double read = -t * b * c / 6 * line_[first & mask] + a * b * c / 2 * line_[(first - 1) & mask] -
                        a * t * c / 2 * line_[(first - 2) & mask] + a * t * b / 6 * line_[(first - 3) & mask];
    const double out = now_.gain * (read + now_.s * (last_ - read)) + in;
    last_ = read;
    line_[at_ & mask] = out;
    ++at_;
    now_.delay += step_.delay;
    now_.gain += step_.gain;
    now_.s += step_.s;
    return out;
  }

 private:
  static constexpr std::size_t mask = size - 1;

  std::array<double, size> line_{};
  std::size_t at_ = size;
  double last_ = 0;
  Tuned now_;
  Tuned step_{0, 0, 0};
};

// A glide in samples.
struct StringGlide {
  std::int64_t from = 0;
  std::int64_t to = 0;
  double cents_from = 0;
  double cents_to = 0;
};

enum class Strike : std::int8_t { pluck, hammer, pull, slide };
enum class Release : std::int8_t { open, lift, stop };

struct StringNote {
  std::int64_t end = 0;  // samples
  double hz = 440;
  double strength = 0.5;  // 0 to 1
  double length = 1;      // sounding, in parts of the neck's
  Strike strike = Strike::pluck;
  Release release = Release::lift;
  bool harmonic = false;
  bool dead = false;
  std::vector<StringGlide> glides;
};

class StringVoice {
 public:
  StringVoice(const StringSettings& settings, double rate, std::uint32_t seed)
      : settings_(settings), rate_(rate), noise_(seed) {}

  // Lets time go by, in samples, before the first note.
  void pass(std::int64_t samples) { now_ += samples; }
  // From the next sample on.
  void begin(StringNote note);
  // Adds the samples that come next.
  void add_to(std::span<double> out);

 private:
  bool sounds() const { return sounds_; }
  void control();
  void set_moving(bool on_sounding_string);
  double wanted_hz(std::int64_t at) const;
  double wanted_seconds() const;
  StringLoop::Tuned tuned(double hz, double seconds) const;
  void go_silent();

  StringSettings settings_;
  double rate_;
  Noise noise_;
  StringNote note_;
  std::array<StringLoop, 2> loops_;
  std::size_t current_ = 0;
  std::int64_t now_ = 0;
  int until_control_ = 0;
  std::int64_t fade_left_ = 0;
  std::int64_t quiet_ = 0;  // samples since it was last heard
  bool sounds_ = false;
  // What sets the string moving.
  std::vector<double> pulse_;
  std::vector<double> combed_;
  std::size_t next_of_pulse_ = 0;
  // The move from the pitch before.
  double moves_from_hz_ = 440;
  std::int64_t move_start_ = 0;
  // What the loop is tuned to.
  double hz_ = 0;
  double seconds_ = 0;
};

}  // namespace fifthpeg::audio
