// Which parts of a measure are written as tuplets.
#pragma once

#include <cstdint>
#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg::engraving {

// A stretch of a measure, sounding or silent.
struct Stretch {
  Fraction from;  // from the start of the measure
  Fraction to;
  std::int64_t stroke = -1;  // which; -1 is a rest
  bool goes_on = false;      // not the first stretch of its stroke
  bool is_continued = false;
};

struct TupletSpan {
  Fraction from;
  Fraction to;
  std::int16_t actual = 3;
  std::int16_t normal = 2;
};

// The groups that are needed so that everything can be printed with plain note values: half beats, one or two
// parts of a compound beat where that is enough, else beats, wider where a note crosses two beats in the
// same subdivision. Stretches lie in order and without gaps.
std::vector<TupletSpan> find_tuplets(const std::vector<Stretch>& stretches, const Meter& meter,
                                     Fraction length);

// Cuts stretches where a group begins or ends.
void cut_at_groups(std::vector<Stretch>& stretches, const std::vector<TupletSpan>& groups);

// Whether a time can be printed without a tuplet.
bool is_plain(Fraction time);
// What is divided: the meter's beat, a half or whole note beat in quarters.
Fraction divided_beat(const Meter& meter);

}  // namespace fifthpeg::engraving
