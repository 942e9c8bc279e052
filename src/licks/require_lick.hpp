// What is no lick.
#pragma once

#include "fifthpeg/score.hpp"

namespace fifthpeg::licks {

// Throws UsageError "too-long-for-a-lick" and "no-notes".
void require_lick(const Score& lick);

}  // namespace fifthpeg::licks
