// Where a measure is counted.
#pragma once

#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg::performance {

// The beats of a measure, from its start; of a meter of unequal beats, such as 3+2, where each begins. Those
// of a pickup are counted from its barline.
std::vector<Fraction> beats(const Measure& measure);

}  // namespace fifthpeg::performance
