// How far the fret hand reaches, in millimeters.
#pragma once

#include <array>

#include "fifthpeg/score.hpp"

namespace fifthpeg::hands {

// The distance along the neck between two fingers: up to `comfortable` it costs nothing, past `hard` it is
// not asked for.
struct Stretch {
  double comfortable = 0.0;
  double hard = 0.0;
};

// For each pair of neighboring fingers: index and middle, middle and ring, ring and little. From memory:
// at the nut end of the usual scale one finger a fret puts neighbors 35 mm apart and index and little
// finger 100 mm; five frets lie 130 mm apart, which is a strain, six 158 mm, which is too much. Fingers that
// are not neighbors have the sum of what lies between them, but no two fingers part by more than the
// whole hand. Everything can be scaled for a hand (HandsOptions::reach). Pain means stop, and what a
// teacher or a hand therapist says outranks these figures.
inline constexpr std::array<Stretch, 3> neighbors{{{42.0, 70.0}, {38.0, 50.0}, {40.0, 60.0}}};
inline constexpr double whole_hand_hard_mm = 150.0;
// The thumb over the neck, from the nearest place of the other fingers. From memory.
inline constexpr double thumb_hard_mm = 75.0;

// Where the frets of one banjo lie, and what the hand can span on it.
class Neck {
 public:
  Neck(const Banjo& banjo, double scale_length_mm, double reach);

  // Between two frets as written, counted from the capo; from fret 1 up.
  double span_mm(int low_fret, int high_fret) const;
  // For fingers 1 to 4, lower finger first; equal fingers stretch nowhere.
  Stretch limits(int lower_finger, int higher_finger) const {
    return limits_[static_cast<std::size_t>(lower_finger)][static_cast<std::size_t>(higher_finger)];
  }
  double thumb_limit() const { return thumb_limit_; }
  const Banjo& banjo() const { return banjo_; }

 private:
  static constexpr std::size_t frets_known = 65;
  const Banjo banjo_;
  std::array<double, frets_known> position_mm_{};
  std::array<std::array<Stretch, 5>, 5> limits_{};
  double thumb_limit_;
};

}  // namespace fifthpeg::hands
