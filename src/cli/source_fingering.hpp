// What a source gives of strings, frets and fingers, and what is found or asked for. Only what was given can
// be lost: an output that does not carry what was found for a tune has lost nothing of the tune.
#pragma once

#include "cli/options.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::cli {

struct SourceFingering {
  bool placements = false;
  bool fingers = false;
  bool picking_fingers = false;
  bool neck = false;  // the length of the neck, where nobody asks for another
};

// To be called before anything is found.
SourceFingering given_by(const Score& score, const BanjoOptions& asked_for);

// What somebody who asked for this would like to know of what was found: that the source's own fingering was
// kept instead, or that the piece lies high up the neck.
void tell_of_found(const Score& score, const SourceFingering& source_fingering, const HandsOptions& options,
                   Report& report);

// Takes out of a writer's report the losses of what was found or asked for.
void keep_losses_of_given(Report& report, const SourceFingering& source_fingering);

}  // namespace fifthpeg::cli
