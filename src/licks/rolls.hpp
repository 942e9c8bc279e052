// Which rolls a score has, by the names of the table of cells (src/arrange/cells.cpp).
#pragma once

#include <string>
#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg::licks {

// In order, each once. Of a score with places and picking fingers.
std::vector<std::string> rolls_of(const Score& score);

}  // namespace fifthpeg::licks
