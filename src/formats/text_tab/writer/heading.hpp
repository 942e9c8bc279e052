// What stands over a tab: title, names, tuning, capo, key, meter, tempo, swing.
#pragma once

#include <string>

#include "fifthpeg/score.hpp"

namespace fifthpeg::text_tab {

std::string tempo_text(const Tempo& tempo);  // "Lively, quarter = 120"

// Lines of at most `width` columns, with an empty line after them.
std::string heading(const Score& score, int width, bool everything_rings);

}  // namespace fifthpeg::text_tab
