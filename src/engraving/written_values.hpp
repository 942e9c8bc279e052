// Note values that a source has and the meter would part.
#pragma once

#include "fifthpeg/score.hpp"

namespace fifthpeg::engraving {

// Brings Stroke::unparted into its normal form: it stays only where it changes what is printed.
void settle_unparted(Score& score);

}  // namespace fifthpeg::engraving
