// Loudness by Recommendation ITU-R BS.1770-5, of one channel.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace fifthpeg::audio {

class LoudnessMeter {
 public:
  explicit LoudnessMeter(double rate);
  void add(std::span<const double> samples);
  // Gated loudness of all that was added, in LUFS; -infinity where there is nothing to measure.
  double loudness() const;

 private:
  // A filter of the second order as the recommendation writes it.
  struct Stage {
    double b0, b1, b2, a1, a2;
    double s1 = 0;
    double s2 = 0;
    double next(double in) {
      const double out = b0 * in + s1;
      s1 = b1 * in - a1 * out + s2;
      s2 = b2 * in - a2 * out;
      return out;
    }
  };
  static Stage shelf(double rate);
  static Stage high_pass(double rate);

  Stage shelf_;
  Stage high_pass_;
  std::size_t step_;  // samples in a quarter of a block
  std::size_t in_step_ = 0;
  double sum_ = 0;
  std::vector<double> steps_;  // mean square of each quarter of a block
};

}  // namespace fifthpeg::audio
