// What a stroke asks of the hands: its pitches, and what is already decided about them.
#pragma once

#include <array>
#include <bit>
#include <cstdint>
#include <optional>
#include <type_traits>

#include "fifthpeg/hands.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::hands {

// Strings and frets as plain numbers.
constexpr int string_of(Placement placement) {
  return placement.string;
}
constexpr int fret_of(Placement placement) {
  return placement.fret;
}

// Small whole numbers throughout, so that equal strokes are found again quickly.
struct RequestedNote {
  static constexpr std::int8_t free = -1;
  enum Ringing : std::int16_t { stopped_short, natural, let_ring };
  // Bits of `slurs`, by Technique.
  static constexpr std::int8_t bit(Technique technique) {
    return static_cast<std::int8_t>(1 << static_cast<int>(technique));
  }

  std::int16_t midi = 0;
  // Fixed points: `free`, or what stays.
  std::int8_t string = free;
  std::int8_t fret = free;
  std::int8_t finger = free;          // a FretFinger
  std::int8_t picking_finger = free;  // a PickingFinger
  std::int8_t slurs = 0;              // the techniques that may lead into it, as bits
  bool slur_asked = false;            // by the source: picking it loses something
  bool tied = false;                  // goes on from the stroke before, where it is
  bool bent = false;                  // choked: no open string will do
  bool dead = false;                  // any string will do
  bool harmonic = false;
  Ringing ringing = natural;

  StringSound sound() const { return {midi, harmonic, dead, bent}; }
  friend bool operator==(const RequestedNote&, const RequestedNote&) = default;
};

// A chord that sounds, as far as shapes go: 0 to 11 is major on that pitch class, 12 to 23 minor.
inline constexpr std::int16_t no_chord = -1;
// `half_steps` from where it is written.
std::int16_t chord_of(const ChordSymbol& symbol, int half_steps);

// At most a note a string; highest first, as in Stroke::notes.
struct RequestedStroke {
  std::array<RequestedNote, string_count> notes{};
  std::uint8_t count = 0;
  bool brush = false;
  bool off_beat = false;
  bool long_note = false;         // a quarter or more
  std::int16_t chord = no_chord;  // in force

  RequestedNote& add() { return notes.at(count++); }
  friend bool operator==(const RequestedStroke&, const RequestedStroke&) = default;

  using Bytes = std::array<char, sizeof(std::array<RequestedNote, string_count>) + 6>;
};
// Equal where strokes are equal.
inline RequestedStroke::Bytes bytes_of(const RequestedStroke& stroke) {
  static_assert(std::has_unique_object_representations_v<RequestedStroke>);
  return std::bit_cast<RequestedStroke::Bytes>(stroke);
}

// Which of a note's fixed points are kept.
struct Kept {
  bool placement = true;
  bool finger = true;
  bool picking_finger = true;
};
Kept kept_by(Refinger refinger);

RequestedNote requested(const Note& note, int half_steps, Kept kept);

}  // namespace fifthpeg::hands
