// The seams of a lick: what it costs the hands to get in and out, and the strokes there fingered anew.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>

#include "fifthpeg/hands.hpp"
#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::licks {

// Where in a score a lick stands.
struct Stretch {
  std::size_t first = 0;  // index of the measure in which it begins
  Fraction from;          // in it
  std::size_t last = 0;   // and in which it ends
  Fraction to;
};

// What one seam asks of the hands, over what either side asks by itself, in units of their cost table.
struct Seam {
  std::int64_t cost = 0;
  int shift = 0;  // frets that the hand moves by; 0 where it stops nothing on one of the sides
};
struct Seams {
  Seam in;
  Seam out;
};
// Of a score with places. Throws UnplayableError where no hand plays what meets there.
Seams seams_of(const Score& score, const Stretch& lick, Style style);

// Finds anew the fingers of the stroke of the tune before the lick and of the one after it, where that is
// easier by a finger or more; strings and frets stay. Throws UnplayableError "seam-too-fast" where a finger
// would have to strike again before it can.
Report finger_seams(Score& score, const Stretch& lick, Style style);

}  // namespace fifthpeg::licks
