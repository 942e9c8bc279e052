#include "arrange/melody.hpp"

#include <algorithm>

namespace fifthpeg::arranging {

const Note* melody_note_of(const Stroke& stroke) {
  for (const Note& note : stroke.notes) {
    if (!note.dead) return &note;
  }
  return nullptr;
}

std::vector<Tone> melody_of(const Score& score, Report& report) {
  std::vector<Tone> tones;
  Fraction start;
  for (std::uint32_t m = 0; m < score.measures.size(); ++m) {
    const Measure& measure = score.measures[m];
    const auto tell = [&](const char* slug, const char* text, const Stroke& stroke) {
      report.add(EntryKind::decision, slug, text,
                 {{}, measure.number, beat_at(measure, stroke.onset), 0, -1, 0});
    };
    for (const Stroke& stroke : measure.strokes) {
      if (stroke.is_rest()) continue;
      if (stroke.grace != Grace::none) {
        tell("grace-not-arranged", "a grace note of the melody is left out", stroke);
        continue;
      }
      const Note* const note = melody_note_of(stroke);
      if (note == nullptr) {
        tell("dead-not-arranged", "a dead note has no pitch to arrange, and is left out", stroke);
        continue;
      }
      if (stroke.notes.size() > 1) {
        tell("top-line-taken", "of notes together the highest is the melody; the others are left out",
             stroke);
      }
      const bool goes_on = note->tied_from_previous && !tones.empty() &&
                           tones.back().midi == note->pitch.midi() &&
                           tones.back().at + tones.back().length == start + stroke.onset;
      if (goes_on) {
        tones.back().length += stroke.duration;
      } else {
        tones.push_back({start + stroke.onset, stroke.duration, note->pitch.midi(), m, stroke.onset});
      }
    }
    start += measure.length;
  }
  return tones;
}

}  // namespace fifthpeg::arranging
