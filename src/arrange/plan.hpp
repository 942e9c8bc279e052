// What is to be arranged, cut into pieces that are decided one after the other: units of two beats, of a
// dotted beat, or of a measure of 3/4, each with the melody notes that begin in it and its chord.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "arrange/cells.hpp"
#include "arrange/melody.hpp"
#include "fifthpeg/arrange.hpp"
#include "fifthpeg/harmony.hpp"
#include "fifthpeg/score.hpp"
#include "score/chord_tones.hpp"

namespace fifthpeg::arranging {

// A melody note in a slot of its unit.
struct Wanted {
  std::int8_t slot = 0;
  std::int8_t length = 1;  // in slots, the unit's end aside
  std::int16_t midi = 0;
  std::int16_t weight = 0;  // what it costs to leave it out
  std::int16_t next = 0;    // pitch of the melody note after it; 0: none
  std::uint32_t tone = 0;   // index into the melody
  bool ends_phrase = false;
  bool anticipates = false;   // comes an eighth before its beat, and is held over it
  bool struck_again = false;  // for whoever puts licks in, is no more than the note before it held on
  friend bool operator==(const Wanted&, const Wanted&) = default;
};

// The harmony of a unit.
struct Harmony {
  bool known = false;       // false: nothing is to be filled in
  ChordTones tones;         // for fills
  ChordSymbol symbol;       // that stands there
  unsigned doubtful = 0;    // pitch classes, as bits, that belong to it only if it is what it is taken for
  std::int16_t hands = -1;  // as hands::chord_of() numbers it

  // In half steps, 0 to 11.
  int above_root(int midi) const {
    return pitch_class(midi - Pitch{symbol.root.step, symbol.root.alter, 4}.midi());
  }
  // Whether a note that the chord does not have goes with it: its second, fourth, sixth or flat seventh.
  bool bears(int midi) const {
    const int above = above_root(midi);
    return above == 2 || above == 5 || above == 9 || above == 10;
  }
};

// What a unit plays of a lick of the player's own.
struct LickPiece {
  std::int16_t lick = -1;  // which one; none
  std::int16_t from = 0;   // its first slot there
  bool goes_on = false;    // in the next unit
  friend bool operator==(const LickPiece&, const LickPiece&) = default;
};

struct Unit {
  std::uint32_t measure = 0;  // index into Score::measures
  Fraction at;                // from its start
  Fraction slot;              // length
  std::int8_t slots = 0;
  std::uint8_t beats = 0;  // slots that begin beats, as bits
  bool begins_measure = false;
  bool pickup = false;         // of a measure that is not counted, before the first that is
  bool ends_phrase = false;    // the melody rests from its last note in it on, or has none
  std::int16_t held = 0;       // pitch of the melody note that sounds at its start without beginning there
  std::int16_t next_midi = 0;  // of the first melody note after it; 0: none
  std::int16_t peak = 0;       // the highest melody note in it and the units beside it; 0: none
  std::int8_t next_after = 0;  // slots from its end to that
  Harmony harmony;
  std::int16_t next_chord = -1;  // of the unit after it, as hands::chord_of() numbers it
  std::vector<Wanted> wanted;    // in order
  std::vector<LickPiece> licks;  // that have a place here
  std::uint32_t alike = 0;       // the first unit that is the same with the same neighbors; itself for none

  bool on_beat(int at_slot) const { return ((beats >> static_cast<unsigned>(at_slot)) & 1U) != 0; }
};

// In what a melody is arranged: eighths, or sixteenths where it moves in them.
Fraction slot_of(const Score& score, const std::vector<Tone>& melody);

// How a measure of a meter falls into units, in slots.
std::vector<int> spans_of(const Meter& meter, Fraction slot);

// What of the banjo a melody may use, as MIDI numbers.
struct MelodyRange {
  int low = 0;
  int high = 127;
};

struct Plan {
  std::vector<Tone> melody;       // as it is to sound, whole phrases moved by octaves
  std::vector<bool> asked;        // of each tone: kept at this level, if the banjo and the hands have it
  std::vector<bool> on_beat;      // of each tone
  std::vector<bool> ends_phrase;  // of each tone
  std::vector<Unit> units;
  Report report;
};

// The melody of a score that has its chord symbols and stands where it is to sound; of chords that were
// inferred, how sure they are. Phrases that leave the range move by an octave where that brings them in, and
// single notes that still do, likewise; both are reported.
Plan plan_of(const Score& score, std::vector<Tone> melody, const std::vector<InferredChord>& inferred,
             MelodyRange range, Style style, int level);

}  // namespace fifthpeg::arranging
