// Keeps peaks under a ceiling: turned down smoothly before they come, and let up slowly after. Knows the
// samples that are to come, and puts out as many as it takes in, later by `delay()`.
#pragma once

#include <cstddef>
#include <deque>
#include <utility>
#include <vector>

namespace fifthpeg::audio {

class Limiter {
 public:
  Limiter(double ceiling, double rate);
  // How many samples later a sample comes out.
  std::size_t delay() const { return ahead_; }
  double next(double sample);
  // The most that it has turned down so far, as a factor.
  double least_gain() const { return least_gain_; }

 private:
  double ceiling_;
  std::size_t ahead_;
  double let_up_;
  // The samples to come, in a ring.
  std::vector<double> samples_;
  // The least gain that any of them needs: candidates in order of time, each lower than those before it.
  std::deque<std::pair<std::size_t, double>> needed_;
  // The mean of the last needed gains, so that the gain has reached a peak when the peak comes.
  std::vector<double> held_;
  double sum_ = 0;
  double released_ = 1;
  std::size_t at_ = 0;
  double least_gain_ = 1;
};

}  // namespace fifthpeg::audio
