// Which pieces make up each level of each tuplet, in what unit it counts, and whether it needs a bracket.
#pragma once

#include "engraving/engraving.hpp"
#include "engraving/grid.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::engraving {

// Levels beyond this one are not drawn.
inline constexpr std::size_t most_tuplet_levels = 16;

// Fills engraving.groups, once pieces and beams are there. A bracket is left out where one beam covers just
// the group (common practice).
void group_tuplets(const Measure& measure, const Grid& grid, Engraving& engraving);

}  // namespace fifthpeg::engraving
