// What a lick of a handout does, in a line.
#pragma once

#include <string>

#include "fifthpeg/score.hpp"

namespace fifthpeg::sheet {

// "G major; from G to D7; 2 measures of 4/4 after a pickup; frets 1 to 5".
std::string about(const Score& score);

}  // namespace fifthpeg::sheet
