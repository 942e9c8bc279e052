// What is said of a score that comes with strings and fingers, or that lies high up the neck.
#pragma once

#include "fifthpeg/hands.hpp"

namespace fifthpeg::hands {

SourceFingering source_fingering(const Score& score);

// Whether a score says of every note where it is, and with which finger of either hand it is played, as
// finger() does.
struct Given {
  bool all_placements = true;
  bool all_fingers = true;
  bool all_picking_fingers = true;  // of what is picked
  bool nail = false;                // some are struck downwards, as in clawhammer
  bool all() const { return all_placements && all_fingers && all_picking_fingers; }
};
Given given_by(const Score& score);
// To find what is missing and nothing else: what it has stays where it is, and the style is that of its
// picking fingers.
HandsOptions to_complete(const Score& score);

// That the source's own fingering was kept where a style was asked for, and that the fingered score lies high
// up the neck: what somebody who asked for this would like to know.
void report_fingering(const Score& score, const SourceFingering& source, const HandsOptions& options,
                      Report& report);

}  // namespace fifthpeg::hands
