#include "hands/reach.hpp"

#include <algorithm>

namespace fifthpeg::hands {

Neck::Neck(const Banjo& banjo, double scale_length_mm) : position_mm_{}, capo_(banjo.capo) {
  for (int fret = 0; fret <= most_frets; ++fret) position_mm_[fret] = fret_position_mm(fret, scale_length_mm);
}

double Neck::span_mm(int low_fret, int high_fret) const {
  const int low = std::clamp(low_fret + capo_, 0, most_frets);
  const int high = std::clamp(high_fret + capo_, 0, most_frets);
  return position_mm_[high] - position_mm_[low];
}

}  // namespace fifthpeg::hands
