// Filters of the second order, from the audio EQ cookbook of R. Bristow-Johnson (W3C Group Note, 2021).
#pragma once

#include <cmath>
#include <numbers>

namespace fifthpeg::audio {

class Filter {
 public:
  // Passes a band with 0 dB at its middle.
  static Filter band(double hz, double q, double rate) {
    const double w = 2 * std::numbers::pi * hz / rate;
    const double alpha = std::sin(w) / (2 * q);
    return {alpha, 0, -alpha, 1 + alpha, -2 * std::cos(w), 1 - alpha};
  }
  // Passes everything, about its middle later.
  static Filter all(double hz, double q, double rate) {
    const double w = 2 * std::numbers::pi * hz / rate;
    const double alpha = std::sin(w) / (2 * q);
    return {1 - alpha, -2 * std::cos(w), 1 + alpha, 1 + alpha, -2 * std::cos(w), 1 - alpha};
  }
  // Takes out what is below.
  static Filter low_cut(double hz, double q, double rate) {
    const double w = 2 * std::numbers::pi * hz / rate;
    const double alpha = std::sin(w) / (2 * q);
    const double b = (1 + std::cos(w)) / 2;
    return {b, -2 * b, b, 1 + alpha, -2 * std::cos(w), 1 - alpha};
  }

  Filter(double b0, double b1, double b2, double a0, double a1, double a2)
      : b0_(b0 / a0), b1_(b1 / a0), b2_(b2 / a0), a1_(a1 / a0), a2_(a2 / a0) {}

  // Transposed direct form II.
  double next(double in) {
    const double out = b0_ * in + s1_;
    s1_ = b1_ * in - a1_ * out + s2_;
    s2_ = b2_ * in - a2_ * out;
    return out;
  }

  // What has died away becomes nothing, before it takes processors a hundred times as long.
  void settle() {
    if (std::abs(s1_) < nothing && std::abs(s2_) < nothing) s1_ = s2_ = 0;
  }

 private:
  static constexpr double nothing = 1e-15;

  double b0_, b1_, b2_, a1_, a2_;
  double s1_ = 0;
  double s2_ = 0;
};

}  // namespace fifthpeg::audio
