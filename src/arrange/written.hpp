// From a way through candidates to a score.
#pragma once

#include <vector>

#include "arrange/path.hpp"
#include "arrange/plan.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::arranging {

// What a way plays, in the measures of the score that the units were cut from, which lose what strokes they
// have.
Score written(const Score& score, const std::vector<Unit>& units, const Way& way);

// Gives the strokes of a measure their lengths: each sounds until the next, and before the first is a rest.
void sound_until_next(Measure& measure);

}  // namespace fifthpeg::arranging
