// Why the tab is as it is: what each stroke costs the hands, and what the next best string would have cost.
#pragma once

#include "fifthpeg/hands.hpp"
#include "fifthpeg/score.hpp"
#include "fifthpeg/write.hpp"

namespace fifthpeg::cli {

// A table, a line a stroke. `fingered` has to come from finger() with HandsOptions::explain.
void write_explanation(const Score& score, const FingeringResult& fingered, Sink& out);

}  // namespace fifthpeg::cli
