#include "licks/line.hpp"

#include <algorithm>

#include "arrange/lick_extent.hpp"
#include "fifthpeg/harmony.hpp"
#include "hands/request.hpp"
#include "score/chord_tones.hpp"

namespace fifthpeg::licks {
namespace {

ChordSymbol triad_at(int place_on_fifths, bool minor) {
  const Pitch root = pitch_at(place_on_fifths, 60 + pitch_class(7 * place_on_fifths));
  ChordSymbol chord;
  chord.root = {root.step, root.alter};
  if (minor) {
    chord.kind = "minor";
    chord.text = "m";
  }
  return chord;
}

// Starts of the measures, in beats.
std::vector<Fraction> starts_of(const Score& lick, Fraction beat) {
  std::vector<Fraction> starts;
  starts.reserve(lick.measures.size());
  Fraction start = counted_before(lick.measures.front()) / beat;
  for (const Measure& measure : lick.measures) {
    starts.push_back(start);
    start += measure.length / beat;
  }
  return starts;
}

void find_chords(const Score& lick, const std::vector<Fraction>& starts, Fraction beat, LickLine& line) {
  for (std::size_t m = 0; m < lick.measures.size(); ++m) {
    for (const ChordSymbol& chord : lick.measures[m].chords)
      line.chords.push_back({starts[m] + chord.at / beat, chord});
  }
  line.chords_inferred = line.chords.empty();
  if (line.chords_inferred) {
    for (const InferredChord& found : infer_chords(lick)) {
      const Fraction at = starts[found.measure] + found.at / beat;
      if (line.chords.empty() || !same_triad(line.chords.back().chord, found.chord))
        line.chords.push_back({at, found.chord});
    }
  }
  if (line.chords.empty()) line.chords.push_back({line.start, tonic_of(find_key(lick))});
  for (OverLick& one : line.chords) one.chord.at = 0;
}

void add_notes(const Measure& measure, Fraction start, Fraction beat, std::vector<LineNote>& notes) {
  for (const Stroke& stroke : measure.strokes) {
    if (stroke.is_rest() || stroke.grace != Grace::none) continue;
    const Fraction at = start + stroke.onset / beat;
    const Fraction beats = stroke.duration / beat;
    if (arranging::goes_on_from_before(stroke)) {
      if (!notes.empty()) notes.back().beats += beats;
      continue;
    }
    const Note& highest = stroke.notes.front();
    LineNote note;
    note.at = at;
    note.beats = beats;
    note.midi = highest.pitch.midi();
    note.on_beat = at.is_whole();
    note.finger = highest.picking_finger;
    note.single = stroke.notes.size() == 1;
    for (const Note& one : stroke.notes) {
      if (!one.dead && one.ring != Ring::damp) note.tones |= ChordTones::bit(one.pitch.midi());
    }
    if (highest.placement) {
      note.string = highest.placement->string;
      note.fret = highest.harmonic ? 0 : highest.placement->fret;
    }
    notes.push_back(note);
  }
}

}  // namespace

const ChordSymbol& LickLine::chord_at(Fraction at) const {
  const auto after =
      std::find_if(chords.begin(), chords.end(), [&](const OverLick& one) { return one.at > at; });
  return after == chords.begin() ? after->chord : std::prev(after)->chord;
}

LickLine line_of(const Score& lick) {
  LickLine line;
  const Fraction beat = lick.measures.front().meter.beat();
  const std::vector<Fraction> starts = starts_of(lick, beat);
  for (std::size_t m = 0; m < lick.measures.size(); ++m)
    add_notes(lick.measures[m], starts[m], beat, line.notes);
  if (const auto extent = arranging::extent_of(lick)) {
    line.lands = extent->landing != nullptr;
    line.end = extent->end / beat;
  } else if (!line.notes.empty()) {  // a single stroke, on the first beat of the last measure
    line.end = line.notes.back().at + line.notes.back().beats;
  }
  if (!line.notes.empty()) line.start = line.notes.front().at;
  const auto next = std::upper_bound(starts.begin(), starts.end(), line.start);
  line.first_barline = next == starts.end() ? line.end : *next;
  line.first_is_short = lick.measures.size() > 1 && counted_before(lick.measures.front()) > 0;
  find_chords(lick, starts, beat, line);
  return line;
}

bool same_triad(const ChordSymbol& one, const ChordSymbol& other) {
  const auto number = hands::chord_of(one, 0);
  if (number != hands::chord_of(other, 0)) return false;
  return number != hands::no_chord || (one.root == other.root && one.kind == other.kind);
}

ChordSymbol tonic_of(const Key& key) {
  return triad_at(tonic(key), is_minor(key.mode));
}

ChordSymbol dominant_of(const Key& key) {
  return triad_at(tonic(key) + 1, false);
}

ChordSymbol subtonic_of(const Key& key) {
  return triad_at(tonic(key) - 2, false);
}

}  // namespace fifthpeg::licks
