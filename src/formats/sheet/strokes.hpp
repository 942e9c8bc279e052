// What lines and ties are drawn with, the same on every surface.
#pragma once

#include <cmath>

#include "formats/sheet/drawing.hpp"

namespace fifthpeg::sheet {

inline constexpr double dash_length = 1;  // mm
inline constexpr double dash_gap = 0.8;
inline constexpr double tip_of_arc = 0.12;  // a tie's ends are as thick

// Between two curves, the second one back from its end; its outline is drawn as wide as a tip.
struct Crescent {
  Point from, outer1, outer2, to, inner2, inner1;
};

inline Crescent crescent(const Arc& arc) {
  const double length = std::hypot(arc.to.x - arc.from.x, arc.to.y - arc.from.y);
  // Where both controls move, the middle of a cubic curve moves three fourths as far.
  const double apart = length > 0 ? (arc.thickness - tip_of_arc) / 2 / 0.75 / length : 0;
  const Point shift{-(arc.to.y - arc.from.y) * apart, (arc.to.x - arc.from.x) * apart};
  const auto moved = [&](Point point, double side) {
    return Point{point.x + side * shift.x, point.y + side * shift.y};
  };
  return {arc.from, moved(arc.control1, -1), moved(arc.control2, -1),
          arc.to,   moved(arc.control2, 1),  moved(arc.control1, 1)};
}

}  // namespace fifthpeg::sheet
