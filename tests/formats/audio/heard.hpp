// What can be measured of samples.
#pragma once

#include <algorithm>
#include <cmath>
#include <complex>
#include <cstdint>
#include <numbers>
#include <span>
#include <vector>

#include "fifthpeg/audio.hpp"

namespace fifthpeg::testing {

using Samples = std::vector<float>;

// A note of open G at a string and fret, of a second, at this time.
inline SoundedString note_at(int string, int fret, double start = 0) {
  constexpr int open[] = {62, 59, 55, 50, 67};
  SoundedString note;
  note.start = start;
  note.end = start + 1;
  note.string = static_cast<std::int8_t>(string);
  const int own = string == fifth_string ? fret - fifth_nut_fret : fret;
  note.midi = static_cast<std::int8_t>(open[string - 1] + own);
  note.length = std::exp2(-fret / 12.0);
  note.stop = Stop::open;
  return note;
}

inline Sounding sounding_of(std::vector<SoundedString> notes, double seconds = 1) {
  Sounding result;
  result.strings = std::move(notes);
  result.seconds = seconds;
  return result;
}

inline double hz_of(int midi) {
  return 440 * std::exp2((midi - 69) / 12.0);
}

inline std::span<const float> between(const Samples& samples, double from, double to) {
  const auto first = static_cast<std::size_t>(from * sample_rate);
  const auto last = std::min(samples.size(), static_cast<std::size_t>(to * sample_rate));
  return std::span(samples).subspan(first, last - first);
}

// How much of one frequency there is, through a Hann window.
inline double amplitude(std::span<const float> samples, double hz) {
  const std::complex<double> turn = std::polar(1.0, -2 * std::numbers::pi * hz / sample_rate);
  const auto size = static_cast<double>(samples.size());
  const std::complex<double> window_turn = std::polar(1.0, 2 * std::numbers::pi / size);
  std::complex<double> at = 1;
  std::complex<double> window = 1;
  std::complex<double> sum = 0;
  for (const float sample : samples) {
    sum += at * (0.5 - 0.5 * window.real()) * static_cast<double>(sample);
    at *= turn;
    window *= window_turn;
  }
  return 4 * std::abs(sum) / size;
}

// The strongest frequency within half a half step of `hz`: the partial that stands there.
inline double partial_near(std::span<const float> samples, double hz) {
  double low = hz * std::exp2(-50.0 / 1200);
  double high = hz * std::exp2(50.0 / 1200);
  for (int i = 0; i < 24; ++i) {
    const double third = (high - low) / 3;
    if (amplitude(samples, low + third) < amplitude(samples, high - third))
      low += third;
    else
      high -= third;
  }
  return (low + high) / 2;
}

inline double cents(double hz, double from) {
  return 1200 * std::log2(hz / from);
}

inline double peak(std::span<const float> samples) {
  double highest = 0;
  for (const float sample : samples) highest = std::max(highest, static_cast<double>(std::abs(sample)));
  return highest;
}

inline double decibels(std::span<const float> samples) {
  double sum = 1e-30;
  for (const float sample : samples) sum += static_cast<double>(sample) * static_cast<double>(sample);
  return 10 * std::log10(sum / static_cast<double>(std::max<std::size_t>(1, samples.size())));
}

// The greatest step from one sample to the next.
inline double steepest(std::span<const float> samples) {
  double highest = 0;
  for (std::size_t i = 1; i < samples.size(); ++i) {
    highest = std::max(highest, static_cast<double>(std::abs(samples[i] - samples[i - 1])));
  }
  return highest;
}

}  // namespace fifthpeg::testing
