// Head and bridge of a banjo: what the strings do, and beside it the resonances of settings.hpp.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "formats/audio/filter.hpp"
#include "formats/audio/settings.hpp"

namespace fifthpeg::audio {

class Body {
 public:
  explicit Body(double rate) : low_cut_(Filter::low_cut(body_low_cut_hz, 0.7, rate)) {
    resonances_.reserve(body_resonances.size());
    for (const Resonance& one : body_resonances) {
      resonances_.push_back({Filter::band(one.hz, one.q, rate), one.gain});
    }
    spread_.reserve(body_spread_hz.size());
    for (const double hz : body_spread_hz) spread_.push_back(Filter::all(hz, body_spread_q, rate));
  }

  // What is heard of the strings, in their place.
  void sound(std::span<double> samples) {
    while (samples.size() > settled_every) {
      sound(samples.first(settled_every));
      samples = samples.subspan(settled_every);
    }
    for (double& sample : samples) {
      for (Filter& filter : spread_) sample = filter.next(sample);
      double heard = body_direct * sample;
      for (Mode& mode : resonances_) heard += mode.gain * mode.filter.next(sample);
      sample = body_level * low_cut_.next(heard);
    }
    for (Filter& filter : spread_) filter.settle();
    for (Mode& mode : resonances_) mode.filter.settle();
    low_cut_.settle();
  }

 private:
  static constexpr std::size_t settled_every = 1024;  // samples

  struct Mode {
    Filter filter;
    double gain;
  };
  std::vector<Filter> spread_;
  std::vector<Mode> resonances_;
  Filter low_cut_;
};

}  // namespace fifthpeg::audio
