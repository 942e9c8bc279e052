#include "hands/reach.hpp"

#include <algorithm>

namespace fifthpeg::hands {

Neck::Neck(const Banjo& banjo, double scale_length_mm, double reach)
    : banjo_(banjo), thumb_limit_(thumb_hard_mm * reach) {
  for (std::size_t fret = 0; fret < frets_known; ++fret) {
    position_mm_[fret] = fret_position_mm(static_cast<int>(fret), scale_length_mm);
  }
  for (std::size_t low = 1; low <= 4; ++low) {
    Stretch sum;  // of the neighbors from the lower finger on
    for (std::size_t high = low + 1; high <= 4; ++high) {
      sum.comfortable += neighbors[high - 2].comfortable;
      sum.hard += neighbors[high - 2].hard;
      limits_[low][high] = {sum.comfortable * reach, std::min(sum.hard, whole_hand_hard_mm) * reach};
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
