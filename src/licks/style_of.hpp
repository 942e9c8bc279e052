// The style of a lick that says with which fingers it is picked.
#pragma once

#include "fifthpeg/hands.hpp"
#include "licks/line.hpp"

namespace fifthpeg::licks {

Style style_of(const LickLine& line);

}  // namespace fifthpeg::licks
