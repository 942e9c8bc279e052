// Which of several parts was read, in words.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "fifthpeg/read.hpp"

namespace fifthpeg {

// "part 1 of 2 (Banjo) was read: its name says banjo; the other is Banjo backup".
std::string chosen_part_text(const std::vector<PartSummary>& parts, std::size_t chosen,
                             const std::string& reason);

}  // namespace fifthpeg
