// What is said of a score that comes with strings and fingers, or that lies high up the neck.
#pragma once

#include "fifthpeg/hands.hpp"

namespace fifthpeg::hands {

SourceFingering source_fingering(const Score& score);

// That the source's own fingering was kept where a style was asked for, and that the fingered score lies high
// up the neck: what somebody who asked for this would like to know.
void report_fingering(const Score& score, const SourceFingering& source, const HandsOptions& options,
                      Report& report);

}  // namespace fifthpeg::hands
