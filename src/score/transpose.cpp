#include <cstdint>

#include "fifthpeg/score.hpp"

namespace fifthpeg {
namespace {

ChordTone moved_tone(const ChordTone& tone, const Move& move) {
  const Pitch pitch = moved(Pitch{tone.step, tone.alter, 4}, move);
  return {pitch.step, pitch.alter};
}

}  // namespace

void transpose(Score& score, int half_steps) {
  for (Measure& measure : score.measures) {
    Move move = move_for(measure.key, half_steps);
    auto change = measure.key_changes.begin();
    auto chord = measure.chords.begin();
    const auto chords_until = [&](Fraction end) {
      for (; chord != measure.chords.end() && chord->at < end; ++chord) {
        chord->root = moved_tone(chord->root, move);
        if (chord->bass) chord->bass = moved_tone(*chord->bass, move);
      }
    };
    const auto changes_until = [&](Fraction end) {
      for (; change != measure.key_changes.end() && change->at <= end; ++change) {
        chords_until(change->at);
        move = move_for(change->key, half_steps);
        change->key = moved(change->key, move);
      }
    };
    measure.key = moved(measure.key, move);
    for (Stroke& stroke : measure.strokes) {
      changes_until(stroke.onset);
      for (Note& note : stroke.notes) {
        note.pitch = moved(note.pitch, move);
        note.placement.reset();
        note.finger.reset();
      }
    }
    changes_until(INT64_MAX);
    chords_until(INT64_MAX);
  }
}

}  // namespace fifthpeg
