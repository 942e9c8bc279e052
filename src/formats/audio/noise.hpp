// Noise that is the same everywhere: in C++ and in JavaScript, on any machine.
#pragma once

#include <cstdint>

namespace fifthpeg::audio {

// A linear congruential generator modulo 2^32 with the multiplier and increment of Numerical Recipes.
class Noise {
 public:
  explicit Noise(std::uint32_t seed) : state_(seed) {}
  // -1 to 1.
  double next() {
    state_ = state_ * 1664525U + 1013904223U;
    return static_cast<double>(state_ >> 8U) / 8388608.0 - 1.0;
  }

 private:
  std::uint32_t state_;
};

}  // namespace fifthpeg::audio
