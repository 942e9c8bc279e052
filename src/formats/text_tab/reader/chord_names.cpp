#include "formats/text_tab/reader/chord_names.hpp"

#include <cstddef>
#include <string>

#include "score/chord_tones.hpp"

namespace fifthpeg::text_tab::reader {
namespace {

struct Agreement {
  std::size_t as_written = 0;  // notes that are of the chord over them
  std::size_t moved_up = 0;    // by the capo
  bool any = false;            // a chord
};

Agreement agreement(const Score& score) {
  Agreement result;
  std::optional<ChordTones> tones;  // of the chord that holds
  for (const Measure& measure : score.measures) {
    auto chord = measure.chords.begin();
    const auto chords_until = [&](Fraction time) {
      for (; chord != measure.chords.end() && chord->at <= time; ++chord) {
        tones = chord_tones(*chord);
        result.any = result.any || tones;
      }
    };
    for (const Stroke& stroke : measure.strokes) {
      chords_until(stroke.onset);
      if (!tones) continue;
      for (const Note& note : stroke.notes) {
        if (note.tied_from_previous || note.dead) continue;
        const int midi = note.pitch.midi();
        if (tones->has(midi)) ++result.as_written;
        if (tones->has(midi - score.banjo.capo)) ++result.moved_up;
      }
    }
    chords_until(measure.length);
  }
  return result;
}

ChordTone moved_tone(const ChordTone& tone, int half_steps, const Key& key) {
  const int midi = Pitch{tone.step, tone.alter, 4}.midi() + half_steps;
  Pitch pitch = spell(midi, key);
  if (pitch.alter < -1 || pitch.alter > 1) pitch = spell(midi, Key{});  // nobody plays a B double-flat chord
  return {pitch.step, pitch.alter};
}

void move_up(Score& score) {
  const int capo = score.banjo.capo;
  for (Measure& measure : score.measures) {
    for (ChordSymbol& chord : measure.chords) {
      Key key = measure.key;
      for (const KeyChange& change : measure.key_changes) {
        if (change.at <= chord.at) key = change.key;
      }
      chord.root = moved_tone(chord.root, capo, key);
      if (chord.bass) chord.bass = moved_tone(*chord.bass, capo, key);
    }
  }
}

}  // namespace

void settle_chord_names(Score& score, Report& report) {
  if (score.banjo.capo == 0) return;
  const Agreement notes = agreement(score);
  if (!notes.any) return;
  const bool shapes = notes.moved_up >= notes.as_written;
  if (shapes) move_up(score);
  const std::string capo = "with the capo at fret " + std::to_string(score.banjo.capo);
  report.add(
      EntryKind::decision, "text-tab-chord-names",
      shapes ? capo + ", the chord names are read as the shapes that are held, and moved up to what sounds"
             : capo + ", the chord names are read as what sounds, since the notes agree with that");
}

}  // namespace fifthpeg::text_tab::reader
