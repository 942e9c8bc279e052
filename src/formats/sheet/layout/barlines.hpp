// Barlines and repeat signs, on either staff.
#pragma once

#include <vector>

#include "formats/sheet/layout/system.hpp"

namespace fifthpeg::sheet {

// From `top` to `bottom`; the dots of repeats stand `dots` gaps below the top. What they mean to say they
// say alike on both staves.
void draw_barlines(const System& system, double top, double bottom, const std::vector<double>& dots,
                   double gap, Canvas& canvas);

// Where the sign of a repeat that starts begins.
double repeat_left(const System& system, const PlacedMeasure& placed);

MusicSign rest_sign(const engraving::Piece& piece);

// A rest for a whole measure stands in its middle, but never left of where its notes would, beside the meter.
double rest_x(const PlacedMeasure& placed, const PlacedColumn& column);

}  // namespace fifthpeg::sheet
