// Which notes the chord of a chord symbol has.
#include "score/chord_tones.hpp"

#include <gtest/gtest.h>
#include <string>
#include <string_view>

namespace fifthpeg {
namespace {

// "C E G", spelled with sharps, upwards from C.
std::string names_of(unsigned tones) {
  constexpr std::array<std::string_view, 12> names{"C",  "C#", "D",  "D#", "E",  "F",
                                                   "F#", "G",  "G#", "A",  "A#", "B"};
  std::string text;
  for (int midi = 0; midi < 12; ++midi) {
    if ((tones & ChordTones::bit(midi)) == 0) continue;
    text += (text.empty() ? "" : " ") + std::string(names.at(static_cast<std::size_t>(midi)));
  }
  return text;
}

std::string tones_of(std::string_view symbol) {
  const auto chord = parse_chord_symbol(symbol);
  if (!chord) return "no symbol";
  const auto tones = chord_tones(*chord);
  return tones ? names_of(tones->all) : "unknown";
}
std::string needed_by(std::string_view symbol) {
  return names_of(chord_tones(parse_chord_symbol(symbol).value()).value().needed);
}

// Textbook spellings of chords.
TEST(ChordTones, AreThoseOfItsKind) {
  EXPECT_EQ(tones_of("C"), "C E G");
  EXPECT_EQ(tones_of("Am"), "C E A");
  EXPECT_EQ(tones_of("D7"), "C D F# A");
  EXPECT_EQ(tones_of("Bdim"), "D F B");
  EXPECT_EQ(tones_of("Bdim7"), "D F G# B");
  EXPECT_EQ(tones_of("Bm7b5"), "D F A B");
  EXPECT_EQ(tones_of("Caug"), "C E G#");
  EXPECT_EQ(tones_of("Gmaj7"), "D F# G B");
  EXPECT_EQ(tones_of("Em7"), "D E G B");
  EXPECT_EQ(tones_of("Am(maj7)"), "C E G# A");
  EXPECT_EQ(tones_of("C6"), "C E G A");
  EXPECT_EQ(tones_of("G9"), "D F G A B");
  EXPECT_EQ(tones_of("G13"), "C D E F G A B");
  EXPECT_EQ(tones_of("Dsus4"), "D G A");
  EXPECT_EQ(tones_of("Dsus2"), "D E A");
  EXPECT_EQ(tones_of("G5"), "D G");
  EXPECT_EQ(tones_of("Bb"), "D F A#");
}

TEST(ChordTones, AreChangedByDegrees) {
  EXPECT_EQ(tones_of("C(add9)"), "C D E G");
  EXPECT_EQ(tones_of("C(add7)"), "C E G A#");  // counted from a seventh chord
  EXPECT_EQ(tones_of("G7(b9)"), "D F G G# B");
  EXPECT_EQ(tones_of("D7(#5)"), "C D F# A#");
  EXPECT_EQ(tones_of("A(no3)"), "E A");
}

// Common practice.
TEST(ChordTones, CanSpareThePerfectFifthOfASeventhChord) {
  EXPECT_EQ(needed_by("D7"), "C D F#");
  EXPECT_EQ(needed_by("D"), "D F# A");
  EXPECT_EQ(needed_by("Bm7b5"), "D F A B");
  EXPECT_EQ(needed_by("C6"), "C E G A");  // without its fifth it is A minor
}

TEST(ChordTones, OfAChordOverAnotherBassAreTheChords) {
  EXPECT_EQ(tones_of("D/F#"), "D F# A");
  EXPECT_EQ(tones_of("C/D"), "C E G");
}

TEST(ChordTones, AreUnknownWhereTheSymbolNamesNone) {
  EXPECT_EQ(tones_of("N.C."), "unknown");
  EXPECT_EQ(tones_of("C(pedal)"), "unknown");
  EXPECT_EQ(tones_of("C(other)"), "unknown");
}

}  // namespace
}  // namespace fifthpeg
