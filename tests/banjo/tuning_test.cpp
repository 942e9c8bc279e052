#include <cmath>
#include <gtest/gtest.h>

#include "fifthpeg/banjo.hpp"

namespace fifthpeg {
namespace {

constexpr Placement at(int string, int fret) {
  return {static_cast<std::int8_t>(string), static_cast<std::int8_t>(fret)};
}

// Common practice: open G is g4 D3 G3 B3 D4.
TEST(Tuning, OpenG) {
  const Banjo banjo;
  EXPECT_EQ(banjo.open_midi(5), 67);
  EXPECT_EQ(banjo.open_midi(4), 50);
  EXPECT_EQ(banjo.open_midi(3), 55);
  EXPECT_EQ(banjo.open_midi(2), 59);
  EXPECT_EQ(banjo.open_midi(1), 62);
  EXPECT_EQ(banjo.lowest(), 50);
  EXPECT_EQ(banjo.highest(), 62 + 22);
}

TEST(Tuning, NamesAndSpellings) {
  for (const NamedTuning& named : named_tunings()) {
    EXPECT_EQ(spelling(named.tuning), named.spelling);
    EXPECT_EQ(parse_tuning(named.spelling), named.tuning) << named.spelling;
    EXPECT_EQ(parse_tuning(named.slug), named.tuning);
    EXPECT_EQ(parse_tuning(named.name), named.tuning);
  }
  EXPECT_EQ(parse_tuning("sawmill"), parse_tuning("gDGCD"));
  EXPECT_EQ(parse_tuning("Sawmill"), parse_tuning("modal-g"));
  EXPECT_EQ(to_string(open_g()), "open G (gDGBD)");
  EXPECT_EQ(parse_tuning("g4 D3 G3 B3 D4"), open_g());
  EXPECT_EQ(parse_tuning("G4D3G3B3D4"), open_g());
  EXPECT_EQ(parse_tuning("aEAC#E")->open(2).midi(), 61);
  for (const char* bad : {"", "gDGB", "gDGBDD", "open H", "gDGBX", "6"})
    EXPECT_FALSE(parse_tuning(bad)) << bad;
}

TEST(Tuning, SpelledWithOctavesWhereNeeded) {
  Tuning low = open_g();
  low.strings[3].octave = 2;
  EXPECT_EQ(spelling(low), "g4 D2 G3 B3 D4");
  EXPECT_EQ(parse_tuning(spelling(low)), low);
}

// Common practice: frets of the fifth string are counted as on the long ones; it begins at the fifth.
TEST(Banjo, ShortString) {
  const Banjo banjo;
  EXPECT_EQ(banjo.midi_at(at(5, 0)), 67);
  for (int fret = 1; fret <= 5; ++fret) EXPECT_FALSE(banjo.midi_at(at(5, fret))) << fret;
  EXPECT_EQ(banjo.midi_at(at(5, 6)), 68);
  EXPECT_EQ(banjo.midi_at(at(5, 7)), 69);
  EXPECT_EQ(banjo.midi_at(at(5, 22)), 67 + 17);
  EXPECT_FALSE(banjo.midi_at(at(5, 23)));
  EXPECT_EQ(banjo.fret_for(5, 69), 7);
}

// Common practice: capo 2 with the fifth string at the seventh fret turns open G shapes into A.
TEST(Banjo, Capos) {
  Banjo banjo;
  banjo.capo = 2;
  banjo.fifth_capo = usual_fifth_capo(2);
  EXPECT_EQ(banjo.open_midi(5), 69);
  EXPECT_EQ(banjo.open_midi(3), 57);
  EXPECT_EQ(banjo.midi_at(at(5, 7)), 71);  // a tone above the open string, as without capo
  EXPECT_EQ(banjo.last_fret(), 20);
  EXPECT_FALSE(banjo.midi_at(at(1, 21)));
  banjo.capo = 0;
  EXPECT_EQ(banjo.midi_at(at(5, 0)), 69);
  EXPECT_FALSE(banjo.midi_at(at(5, 7)));
  EXPECT_EQ(banjo.midi_at(at(5, 8)), 70);
}

// Physics of the string: touched over the 12th, 7th and 5th fret it sounds in two, three and four parts.
TEST(Banjo, Chimes) {
  Banjo banjo;
  EXPECT_EQ(banjo.chime_fret_for(1, 62 + 12), 12);
  EXPECT_EQ(banjo.chime_fret_for(1, 62 + 19), 7);
  EXPECT_EQ(banjo.chime_fret_for(1, 62 + 24), 5);
  EXPECT_EQ(banjo.chime_fret_for(5, 67 + 12), 17);  // the twelfth from its own nut
  EXPECT_FALSE(banjo.chime_fret_for(1, 62 + 7));
  EXPECT_FALSE(banjo.chime_fret_for(2, 62 + 19));
  banjo.capo = 2;
  EXPECT_EQ(banjo.chime_fret_for(1, 64 + 19), 7);
}

TEST(Banjo, FretAndPitchAgree) {
  for (const NamedTuning& named : named_tunings()) {
    for (const int capo : {0, 2, 4}) {
      Banjo banjo{named.tuning, capo, usual_fifth_capo(capo), 22};
      for (int string = 1; string <= string_count; ++string) {
        for (int fret = 0; fret <= 25; ++fret) {
          const auto midi = banjo.midi_at(at(string, fret));
          if (midi) {
            EXPECT_EQ(banjo.fret_for(string, *midi), fret);
          }
        }
        EXPECT_FALSE(banjo.midi_at(at(string, -1)));
      }
    }
  }
}

// The rule of the twelfth root of two: the twelfth fret halves the string, the fifth leaves 3/4 of it but
// for the tempering, the seventh 2/3.
TEST(Frets, Geometry) {
  EXPECT_DOUBLE_EQ(fret_position_mm(0), 0);
  EXPECT_NEAR(fret_position_mm(12), 667.0 / 2, 1e-9);
  EXPECT_NEAR(fret_position_mm(24), 667.0 * 3 / 4, 1e-9);
  EXPECT_NEAR(fret_position_mm(5), 667.0 / 4, 1.0);
  EXPECT_NEAR(fret_position_mm(7), 667.0 / 3, 1.0);
  // Luthiers divide what is left of the string by 17.817 for each fret (common practice).
  double left = 650.0;
  for (int fret = 1; fret <= 22; ++fret) {
    left -= left / 17.817;
    EXPECT_NEAR(fret_position_mm(fret, 650.0), 650.0 - left, 0.02) << fret;
  }
}

}  // namespace
}  // namespace fifthpeg
