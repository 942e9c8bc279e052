// The numbers that pair the start of a hammer-on, pull-off, slide or slur with its stop.
#pragma once

#include <array>
#include <cstdint>

#include "fifthpeg/score.hpp"

namespace fifthpeg::musicxml::writer {

inline constexpr int numbers_per_staff = 5;
// Behind those of both staves: of stops by themselves, so that none ends what another note began.
inline constexpr int number_of_lone_stops = 2 * numbers_per_staff + 1;

class LinkedNumbers {
 public:
  // `first` is the lowest number this staff may use.
  explicit LinkedNumbers(int first) : first_(first) {}

  // Before the notes of each stroke: what starts in a stroke is not stopped by it.
  void next_stroke() { ++stroke_; }
  // The number of the start that this stop belongs to: of the same technique, on the same string if any is,
  // otherwise the earliest. A slur joins all that lies under it but tied notes, so that one without a
  // technique comes from the stroke before and leads to no tied note. Of a stop by itself, a number that
  // nothing starts with.
  int stop(Technique technique, const Note& note);
  // The lowest free number; where none is free, that of the earliest start, which then has no stop.
  int start(Technique technique, const Note& note);

 private:
  struct Link {
    Technique technique = Technique::none;  // none: free
    int string = 0;                         // 0: not placed
    std::uint64_t stroke = 0;
  };
  static int string_of(const Note& note) { return note.placement ? note.placement->string : 0; }

  std::array<Link, numbers_per_staff> links_{};
  int first_;
  std::uint64_t stroke_ = 0;
};

}  // namespace fifthpeg::musicxml::writer
