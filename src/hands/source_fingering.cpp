#include "hands/source_fingering.hpp"

#include <algorithm>
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

Given given_by(const Score& score) {
  Given given;
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      for (const Note& note : stroke.notes) {
        const bool is_picked = !note.tied_from_previous && note.into == Technique::none;
        const bool is_open = note.placement && note.placement->fret == 0;
        given.all_placements = given.all_placements && note.placement;
        given.all_fingers = given.all_fingers && (note.finger || is_open);
        given.all_picking_fingers = given.all_picking_fingers && (note.picking_finger || !is_picked);
        given.nail = given.nail || note.picking_finger == PickingFinger::nail;
      }
    }
  }
  return given;
}

HandsOptions to_complete(const Score& score) {
  HandsOptions options;
  if (source_fingering(score).placements) options.transpose = 0;
  options.suggest_slurs = false;
  if (given_by(score).nail) options.style = Style::clawhammer;
  return options;
}

namespace {

bool is_reached_by(const Stroke& stroke, Technique technique) {
  return std::any_of(stroke.notes.begin(), stroke.notes.end(),
                     [technique](const Note& note) { return note.into == technique; });
}

// A slide, a hammer-on or a pull-off that begins and leads to no note.
void report_loose_ends(const Score& score, Report& report) {
  const Stroke* before = nullptr;
  Place where;
  const auto close = [&](const Stroke* next) {
    if (before == nullptr) return;
    for (const Note& note : before->notes) {
      if (note.out_of == Technique::none || (next != nullptr && is_reached_by(*next, note.out_of))) continue;
      report.add(
          EntryKind::decision, "technique-without-end",
          "a slide, hammer-on or pull-off leads to no note: its sign is kept, and the next note is picked",
          where);
    }
  };
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      close(&stroke);
      before = &stroke;
      where = {{}, measure.number, beat_at(measure, stroke.onset)};
    }
  }
  close(nullptr);
}

}  // namespace

void report_fingering(const Score& score, const SourceFingering& source, const HandsOptions& options,
                      Report& report) {
  if (options.style != Style::roll && options.refinger == Refinger::missing &&
      (source.placements || source.picking_fingers)) {
    report.add(
        EntryKind::decision, "fingering-kept",
        "the strings and fingers of the file are kept, and the style counts for notes without them only");
  }
  report_loose_ends(score, report);
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
