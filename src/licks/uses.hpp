// What a lick is for.
#pragma once

#include <vector>

#include "fifthpeg/licks.hpp"
#include "licks/line.hpp"

namespace fifthpeg::licks {

// The likeliest first, each once; at least one.
std::vector<UseFound> uses_of(const LickFacts& facts, const LickLine& line);

}  // namespace fifthpeg::licks
