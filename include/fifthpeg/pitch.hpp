// Pitch as it is spelled and as it sounds, keys, and the line of fifths that joins the two.
#pragma once

#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace fifthpeg {

enum class Step : std::int8_t { C, D, E, F, G, A, B };

// A spelled, sounding pitch. Octave 4 begins at middle C, as in MusicXML and in scientific pitch notation.
struct Pitch {
  Step step = Step::C;
  std::int8_t alter = 0;  // half steps: +1 sharp, -1 flat, +-2 double
  std::int8_t octave = 4;

  // The MIDI note number; middle C is 60, A4 is 69 (MIDI 1.0). May lie outside 0..127.
  int midi() const;
  friend bool operator==(const Pitch&, const Pitch&) = default;
};

// Octaves aside: 0 is C, 11 is B, of numbers below 0 too.
constexpr int pitch_class(int midi) {
  return (midi % 12 + 12) % 12;
}

// "F#4", "Bb3", "Abb2".
std::string to_string(const Pitch& pitch);
// Reads what to_string writes ("bb" and "##" and "x" for doubles); nothing else.
std::optional<Pitch> parse_pitch(std::string_view text);

// The place of a step and alteration on the line of fifths: F -1, C 0, G 1, D 2 ... B 5, F# 6, Bb -2.
int line_of_fifths(Step step, int alter);
inline int line_of_fifths(const Pitch& pitch) {
  return line_of_fifths(pitch.step, pitch.alter);
}
// The pitch with that place on the line of fifths which sounds as `midi`. `place` and `midi` must name
// the same pitch class (7 * place = midi, modulo 12).
Pitch pitch_at(int place, int midi);

enum class Mode : std::int8_t {
  none,
  major,
  minor,
  dorian,
  phrygian,
  lydian,
  mixolydian,
  aeolian,
  ionian,
  locrian
};

// A key signature and, where known, its mode. D major is {2, major}, E minor {1, minor}.
struct Key {
  std::int8_t fifths = 0;  // sharps positive, flats negative
  Mode mode = Mode::none;
  friend bool operator==(const Key&, const Key&) = default;
};

// "D major", "E minor", "A mixolydian"; "2 sharps (D major or B minor)" where the mode is not
// known.
std::string to_string(const Key& key);
// "A", "F#m", "Bb minor", "d mixolydian", "E dor"; the mode is none where the text names none. Nothing for
// what is no key, or one of more than seven accidentals.
std::optional<Key> parse_key(std::string_view text);
// The place of the key's tonic on the line of fifths (none counts as major).
int tonic(const Key& key);
// Whether the third above the tonic is minor: minor, dorian, phrygian, aeolian, locrian.
bool is_minor(Mode mode);

// Spells a MIDI number in a key: of the spellings of the pitch class, the one nearest to the key's own
// seven notes on the line of fifths; a minor key leans towards its raised sixth and seventh.
Pitch spell(int midi, const Key& key);

// Moving by half steps, with spelling. `fifths` is how far everything moves along the line of fifths.
struct Move {
  int half_steps = 0;
  int fifths = 0;
};
// The move of a piece in `from` by `half_steps`: of the signatures that result, the one with the fewest
// accidentals (sharps on a tie, as fretted players expect).
Move move_for(const Key& from, int half_steps);
Pitch moved(const Pitch& pitch, const Move& move);
// Never leaves -7..7: a key that would is respelled enharmonically.
Key moved(const Key& key, const Move& move);

}  // namespace fifthpeg
