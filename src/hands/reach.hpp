// How far the fret hand reaches, in millimetres.
#pragma once

#include "fifthpeg/tuning.hpp"

namespace fifthpeg::hands {

// The distance between the lowest and the highest stopped fret that index and little finger span without
// strain, and the one that they do not pass. From memory: four frets at the nut end lie 130 mm apart on
// the usual scale, five 158 mm. Both can be scaled for a hand; pain means stop, and what a teacher or a
// hand therapist says outranks these figures.
inline constexpr double comfortable_span_mm = 120.0;
inline constexpr double hard_span_mm = 150.0;

// Where the frets of one banjo lie, so that spans are looked up and not computed.
class Neck {
 public:
  Neck(const Banjo& banjo, double scale_length_mm);
  // Between two frets as written, counted from the capo; fret 1 and up.
  double span_mm(int low_fret, int high_fret) const;

 private:
  static constexpr int most_frets = 64;
  double position_mm_[most_frets + 1];
  int capo_ = 0;
};

}  // namespace fifthpeg::hands
