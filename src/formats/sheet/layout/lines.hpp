// A piece in lines: which measures each holds, and where everything stands along it.
#pragma once

#include <vector>

#include "formats/sheet/layout/system.hpp"

namespace fifthpeg::sheet {

// Lines of `width` millimeters, from the names of the strings to the last barline.
std::vector<System> lines_of(const Piece& piece, double width, TextFace& face);

}  // namespace fifthpeg::sheet
