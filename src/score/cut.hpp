// Cutting music: what leads from one side to the other ends there.
#pragma once

#include <cstddef>
#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg {

// Ends the ties and techniques that lead over a place: before a stroke of a measure, or before the measure.
void cut(std::vector<Measure>& measures, std::size_t at, std::size_t stroke = 0);

}  // namespace fifthpeg
