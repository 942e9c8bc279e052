// A page with one mark of each shape, some of them of a stroke.
#pragma once

#include "formats/sheet/drawing.hpp"

namespace fifthpeg::sheet {

Drawing sample_drawing();

}  // namespace fifthpeg::sheet
