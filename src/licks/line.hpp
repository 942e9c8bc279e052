// What rules on a lick look at: its notes and chords one after the other, in beats.
#pragma once

#include <optional>
#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg::licks {

// A chord over a lick, from a place on.
struct OverLick {
  Fraction at;
  ChordSymbol chord;
};

struct LineNote {  // the highest of a stroke
  Fraction at;
  Fraction beats;  // that it sounds, ties included
  int midi = 0;
  int string = 0;
  int fret = 0;  // where it is stopped
  bool on_beat = false;
  unsigned tones = 0;                   // pitch classes of the whole stroke that ring, as bits of ChordTones
  std::optional<PickingFinger> finger;  // that picks it
  bool single = true;                   // nothing is struck with it
};

// All times are beats of the meter from the start of the first measure, were that whole.
struct LickLine {
  std::vector<LineNote> notes;   // grace notes are none; what it lands on is the last
  bool lands = false;            // on the first beat of a last measure, with nothing after it
  Fraction start;                // of its first note
  Fraction end;                  // of its last; where it lands, the barline before
  Fraction first_barline;        // the first after its start
  bool first_is_short = false;   // the first measure lacks what is before the lick
  std::vector<OverLick> chords;  // in order; at least one
  bool chords_inferred = false;

  // That in force; the first stands before its place as well.
  const ChordSymbol& chord_at(Fraction at) const;
};

// Of a lick with places and at least one note.
LickLine line_of(const Score& lick);

// Whether they are the same triad, whatever is added to it.
bool same_triad(const ChordSymbol& one, const ChordSymbol& other);
// The triad of a key on its first step, and on its fifth, which is major.
ChordSymbol tonic_of(const Key& key);
ChordSymbol dominant_of(const Key& key);
// The major triad a whole tone below the first step.
ChordSymbol subtonic_of(const Key& key);

}  // namespace fifthpeg::licks
