#pragma once

#include "fifthpeg/score.hpp"

namespace fifthpeg {

// Whether players jump at this direction, or are led by it to the place they jump to.
inline bool is_jump(const Direction& direction) {
  using Kind = Direction::Kind;
  return direction.kind != Kind::words && direction.kind != Kind::rehearsal &&
         direction.kind != Kind::dynamics;
}

}  // namespace fifthpeg
