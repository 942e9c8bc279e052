// What a stroke asks of the hands: its pitches, and what is already decided about them.
#pragma once

#include <array>
#include <cstdint>
#include <optional>

#include "fifthpeg/score.hpp"

namespace fifthpeg::hands {

struct WantedNote {
  int midi = 0;
  std::optional<Placement> fixed;  // a placement that stays; it gives the pitch
  bool tied = false;               // goes on from the stroke before, where it is
  bool stopped = false;            // choked: no open string will do
  bool dead = false;               // any string will do
  bool harmonic = false;
};

// At most a note a string; highest first, as in Stroke::notes.
struct WantedStroke {
  std::array<WantedNote, string_count> notes;
  int count = 0;
};

// What the note asks for when the piece is moved by `half_steps`; `keep` keeps its placement.
WantedNote wanted(const Note& note, int half_steps, bool keep);

// Whether a placement gives what the note asks for, fixed or not.
bool gives(const Banjo& banjo, const WantedNote& note, Placement placement);

// The fret on which a string gives the note, or nothing. For a harmonic that is where it is touched:
// frets 12, 7 and 5 give the octave, the twelfth and the double octave (acoustics: a half, a third and a
// fourth of the string).
std::optional<int> fret_for(const Banjo& banjo, const WantedNote& note, int string);

// Whether any string gives the note.
bool within_range(const Banjo& banjo, const WantedNote& note);

}  // namespace fifthpeg::hands
