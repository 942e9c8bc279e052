#include "hands/reach.hpp"

#include <algorithm>

namespace fifthpeg::hands {

Stretch stretch_between(int lower_finger, int higher_finger, double reach) {
  Stretch sum;
  for (int finger = lower_finger; finger < higher_finger; ++finger) {
    const Stretch& step = neighbors.at(static_cast<std::size_t>(finger - 1));
    sum.comfortable += step.comfortable;
    sum.hard += step.hard;
  }
  return {sum.comfortable * reach, std::min(sum.hard, whole_hand_hard_mm) * reach};
}

Neck::Neck(const Banjo& banjo, double scale_length_mm, double reach)
    : banjo_(banjo), thumb_limit_(thumb_hard_mm * reach) {
  for (std::size_t fret = 0; fret < frets_known; ++fret) {
    position_mm_[fret] = fret_position_mm(static_cast<int>(fret), scale_length_mm);
  }
  for (int low = 1; low <= 4; ++low) {
    for (int high = low; high <= 4; ++high) {
      limits_[static_cast<std::size_t>(low)][static_cast<std::size_t>(high)] =
          stretch_between(low, high, reach);
    }
  }
}

double Neck::span_mm(int low_fret, int high_fret) const {
  const int last = static_cast<int>(frets_known) - 1;
  const auto low = static_cast<std::size_t>(std::clamp(low_fret + banjo_.capo, 0, last));
  const auto high = static_cast<std::size_t>(std::clamp(high_fret + banjo_.capo, 0, last));
  return position_mm_[high] - position_mm_[low];
}

}  // namespace fifthpeg::hands
