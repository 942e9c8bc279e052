#include "fifthpeg/pitch.hpp"

#include <array>
#include <gtest/gtest.h>
#include <set>
#include <vector>

namespace fifthpeg {
namespace {

TEST(Pitch, MidiNumbers) {
  // MIDI 1.0: middle C is 60; A above it, 440 Hz, is 69.
  EXPECT_EQ((Pitch{Step::C, 0, 4}.midi()), 60);
  EXPECT_EQ((Pitch{Step::A, 0, 4}.midi()), 69);
  EXPECT_EQ((Pitch{Step::B, 1, 3}.midi()), 60);
  EXPECT_EQ((Pitch{Step::C, -1, 4}.midi()), 59);
  EXPECT_EQ((Pitch{Step::C, 0, -1}.midi()), 0);
}

TEST(Pitch, TextThereAndBack) {
  for (int place = -15; place <= 19; ++place) {
    for (int midi = 12; midi < 24; ++midi) {
      if (((7 * place - midi) % 12 + 12) % 12 != 0) continue;
      const Pitch pitch = pitch_at(place, midi);
      EXPECT_EQ(pitch.midi(), midi);
      EXPECT_EQ(line_of_fifths(pitch), place);
      EXPECT_EQ(parse_pitch(to_string(pitch)), pitch);
    }
  }
  EXPECT_EQ(to_string(Pitch{Step::F, 1, 4}), "F#4");
  EXPECT_EQ(to_string(Pitch{Step::B, -2, 3}), "Bbb3");
  EXPECT_EQ(parse_pitch("Fx4"), (Pitch{Step::F, 2, 4}));
  for (const char* bad : {"", "H4", "C", "C44", "c4", "C#", "4", "C####4"})
    EXPECT_FALSE(parse_pitch(bad)) << bad;
}

// Common practice: the seven notes of every major key are spelled with seven different letters, and the
// sharps arrive as F C G D A E B, the flats as B E A D G C F.
TEST(Spell, ScalesOfAllMajorKeys) {
  constexpr std::array<int, 7> major{0, 2, 4, 5, 7, 9, 11};
  const std::vector<Step> sharps{Step::F, Step::C, Step::G, Step::D, Step::A, Step::E, Step::B};
  for (int fifths = -7; fifths <= 7; ++fifths) {
    const Key key{static_cast<std::int8_t>(fifths), Mode::major};
    const Pitch root = pitch_at(tonic(key), 60 + (((7 * fifths) % 12) + 12) % 12);
    std::set<Step> letters;
    for (const int above : major) {
      const Pitch pitch = spell(root.midi() + above, key);
      letters.insert(pitch.step);
      int expected = 0;
      for (int i = 0; i < 7; ++i) {
        const Step letter = sharps[static_cast<std::size_t>(i)];
        if (letter == pitch.step && i < fifths) expected = 1;
        if (letter == pitch.step && 6 - i < -fifths) expected = -1;
      }
      EXPECT_EQ(pitch.alter, expected) << to_string(key) << " " << to_string(pitch);
    }
    EXPECT_EQ(letters.size(), 7U) << to_string(key);
  }
}

TEST(Spell, WhatTheKeyDoesNotHold) {
  EXPECT_EQ(to_string(spell(61, {3, Mode::major})), "C#4");   // A major: its third
  EXPECT_EQ(to_string(spell(60, {3, Mode::major})), "C4");    // and the blue third
  EXPECT_EQ(to_string(spell(70, {1, Mode::major})), "Bb4");   // G major: the blue third
  EXPECT_EQ(to_string(spell(61, {1, Mode::major})), "C#4");   // its raised fourth
  EXPECT_EQ(to_string(spell(68, {0, Mode::minor})), "G#4");   // A minor: the leading note
  EXPECT_EQ(to_string(spell(66, {0, Mode::minor})), "F#4");   // and the raised sixth
  EXPECT_EQ(to_string(spell(63, {1, Mode::minor})), "D#4");   // E minor: the leading note
  EXPECT_EQ(to_string(spell(70, {-1, Mode::major})), "Bb4");  // F major: its fourth
}

TEST(Key, NamesAndTonics) {
  EXPECT_EQ(to_string(Key{2, Mode::major}), "D major");
  EXPECT_EQ(to_string(Key{1, Mode::minor}), "E minor");
  EXPECT_EQ(to_string(Key{2, Mode::mixolydian}), "A mixolydian");
  EXPECT_EQ(to_string(Key{0, Mode::dorian}), "D dorian");
  EXPECT_EQ(to_string(Key{-3, Mode::major}), "Eb major");
  EXPECT_EQ(to_string(Key{-1, Mode::none}), "1 flat (F major or D minor)");
  EXPECT_EQ(to_string(Key{0, Mode::locrian}), "B locrian");
  EXPECT_EQ(to_string(Key{0, Mode::phrygian}), "E phrygian");
  EXPECT_EQ(to_string(Key{0, Mode::lydian}), "F lydian");
}

TEST(Move, KeepsSpellingAndFewAccidentals) {
  const Key g{1, Mode::major};
  const Move tone = move_for(g, 2);
  EXPECT_EQ(moved(g, tone), (Key{3, Mode::major}));
  EXPECT_EQ(to_string(moved(Pitch{Step::B, 0, 3}, tone)), "C#4");
  EXPECT_EQ(to_string(moved(Pitch{Step::B, -1, 3}, tone)), "C4");
  EXPECT_EQ(moved(g, move_for(g, 12)), g);
  EXPECT_EQ(moved(Key{7, Mode::major}, move_for({7, Mode::major}, 12)), (Key{7, Mode::major}));
  for (int fifths = -7; fifths <= 7; ++fifths) {
    for (int half_steps = -24; half_steps <= 24; ++half_steps) {
      const Key key{static_cast<std::int8_t>(fifths), Mode::major};
      const Move move = move_for(key, half_steps);
      const Pitch root = pitch_at(tonic(key), 60 + (((7 * fifths) % 12) + 12) % 12);
      EXPECT_EQ(moved(root, move).midi(), root.midi() + half_steps);
      EXPECT_EQ(line_of_fifths(moved(root, move)), tonic(moved(key, move)));
    }
  }
}

}  // namespace
}  // namespace fifthpeg
