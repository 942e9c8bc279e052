#include "hands/source_fingering.hpp"

#include <cstdint>
#include <string>

namespace fifthpeg::hands {

SourceFingering source_fingering(const Score& score) {
  SourceFingering source;
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      for (const Note& note : stroke.notes) {
        source.placements = source.placements || note.placement.has_value();
        source.fingers = source.fingers || (note.finger && !finger_is_plain(note));
        source.picking_fingers = source.picking_fingers || note.picking_finger.has_value();
      }
    }
  }
  return source;
}

void report_fingering(const Score& score, const SourceFingering& source, const HandsOptions& options,
                      Report& report) {
  if (options.style != Style::roll && options.refinger == Refinger::missing &&
      (source.placements || source.picking_fingers)) {
    report.add(EntryKind::decision, "fingering-kept",
               "the strings and fingers of the file are kept, and the style asked for is that of the "
               "rest");
  }
  if (source.placements) return;
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
               std::to_string(high) + " of " + std::to_string(notes) + " notes lie above fret 12");
  }
}

}  // namespace fifthpeg::hands
