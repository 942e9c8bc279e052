// Why an arrangement is as it is, in words.
#pragma once

#include <string>
#include <vector>

#include "arrange/own_licks.hpp"
#include "arrange/path.hpp"
#include "arrange/plan.hpp"

namespace fifthpeg::arranging {

// For each stroke of a way, grace notes too, in order; of the player's own licks with their names. What a
// unit could have been instead, and what that would have cost more with its neighbors as they are, stands
// with its first stroke.
std::vector<std::string> reasons_of(const std::vector<Unit>& units, const Way& way,
                                    const Candidates& candidates, const hands::Model& model,
                                    const Neckwork& neck, Seam seam, const std::vector<SlottedLick>& own);

}  // namespace fifthpeg::arranging
