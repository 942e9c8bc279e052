// What following the signs of a score takes; playing_order() itself is public.
#pragma once

#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg {

// Directions that send the player elsewhere, or that these lead to: their kinds are the last, from segno on.
inline bool is_jump(const Direction& direction) {
  return direction.kind >= Direction::Kind::segno;
}

// The tempo in force where each measure begins, as printed: what holds after a jump to it. Null where none is
// set yet.
std::vector<const Tempo*> tempos_in_force(const Score& score);
// Numbers measures from 1; a pickup is 0, and what else is implicit has the number of the next.
void count_measures(std::vector<Measure>& measures);

}  // namespace fifthpeg
