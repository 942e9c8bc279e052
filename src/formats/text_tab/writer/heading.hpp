// What stands over a tab: title, names, tuning, capo, key, meter, tempo, swing.
#pragma once

#include <string>

#include "fifthpeg/score.hpp"

namespace fifthpeg::text_tab {

// Lines of at most `width` columns, with an empty line after them.
std::string heading(const Score& score, int width);

}  // namespace fifthpeg::text_tab
