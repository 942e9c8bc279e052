#include "cli/source_fingering.hpp"

#include <array>
#include <cstdint>
#include <string>
#include <string_view>

namespace fifthpeg::cli {
namespace {

struct LossOf {
  std::string_view slug;  // as the writers tell it
  bool SourceFingering::*what;
};
constexpr std::array<LossOf, 5> losses{{{"midi-placement", &SourceFingering::placements},
                                        {"midi-finger", &SourceFingering::fingers},
                                        {"midi-digit", &SourceFingering::picking_fingers},
                                        {"tab-finger", &SourceFingering::fingers},
                                        {"midi-neck", &SourceFingering::neck}}};

}  // namespace

SourceFingering given_by(const Score& score, const BanjoOptions& asked_for) {
  SourceFingering source_fingering;
  source_fingering.neck = !asked_for.frets;
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      for (const Note& note : stroke.notes) {
        source_fingering.placements = source_fingering.placements || note.placement.has_value();
        source_fingering.fingers = source_fingering.fingers || note.finger.has_value();
        source_fingering.picking_fingers =
            source_fingering.picking_fingers || note.picking_finger.has_value();
      }
    }
  }
  return source_fingering;
}

void tell_of_found(const Score& score, const SourceFingering& source_fingering, const HandsOptions& options,
                   Report& report) {
  if (options.style != Style::roll && options.refinger == Refinger::missing &&
      (source_fingering.placements || source_fingering.picking_fingers)) {
    report.add(EntryKind::decision, "fingering-kept",
               "the strings, fingers and digits of the file are kept, and the style asked for is that of the "
               "rest; --refinger all finds all of them anew");
  }
  if (source_fingering.placements) return;
  constexpr int octave_fret = 12;
  std::uint64_t notes = 0;
  std::uint64_t high = 0;
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      for (const Note& note : stroke.notes) {
        ++notes;
        high += note.placement && note.placement->fret > octave_fret ? 1U : 0U;
      }
    }
  }
  if (high * 3 > notes) {
    report.add(EntryKind::decision, "high-on-the-neck",
               std::to_string(high) + " of " + std::to_string(notes) +
                   " notes lie above fret 12; 'fifthpeg advise' ranks octaves, capos and tunings");
  }
}

void keep_losses_of_given(Report& report, const SourceFingering& source_fingering) {
  for (const LossOf& loss : losses) {
    if (source_fingering.*loss.what || !report.forget(loss.slug)) continue;
    if (loss.what == &SourceFingering::placements) {
      report.add(EntryKind::decision, "places-not-written",
                 "the strings and frets that were found are not in the MIDI file; --channel-per-string "
                 "keeps them");
    }
  }
}

}  // namespace fifthpeg::cli
