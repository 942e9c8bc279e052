// Setting up a score for another banjo, and whether a place gives a note.
#include <gtest/gtest.h>

#include "fifthpeg/banjo.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/hands.hpp"
#include "hands/scores.hpp"

namespace fifthpeg {
namespace {

using testing::passage;
using testing::placements_of;

TEST(Placement, GivesANote) {
  const Banjo banjo;
  Note note;
  note.pitch = *parse_pitch("A3");
  EXPECT_TRUE(gives(banjo, {3, 2}, note));
  EXPECT_TRUE(gives(banjo, {4, 7}, note));
  EXPECT_FALSE(gives(banjo, {3, 3}, note));
  EXPECT_FALSE(gives(banjo, {5, 3}, note)) << "no such fret";
  note.dead = true;
  EXPECT_TRUE(gives(banjo, {3, 3}, note)) << "any fret that is there";
  EXPECT_FALSE(gives(banjo, {5, 3}, note));
  note.dead = false;
  note.harmonic = true;
  note.pitch = *parse_pitch("D5");
  EXPECT_TRUE(gives(banjo, {1, 12}, note));
  EXPECT_TRUE(gives(banjo, {4, 5}, note)) << "two octaves";
  EXPECT_FALSE(gives(banjo, {4, 6}, note));
}

TEST(Placement, FretForANote) {
  const Banjo banjo;
  EXPECT_EQ(fret_for(banjo, 3, {57}), 2);
  EXPECT_EQ(fret_for(banjo, 3, {55}), 0);
  EXPECT_FALSE(fret_for(banjo, 3, {55, false, false, true})) << "choked: not on the open string";
  EXPECT_EQ(fret_for(banjo, 1, {74, true, false, false}), 12);
  EXPECT_EQ(fret_for(banjo, 1, {20, false, true, false}), 0) << "dead: anywhere";
  EXPECT_FALSE(has_place(banjo, {20}));
}

Score placed() {
  Score score = passage("G3 A3 B3 C4");
  finger(score);
  return score;
}

TEST(SetUp, NothingAskedForChangesNothing) {
  Score score = placed();
  const Score before = score;
  EXPECT_TRUE(set_up(score, {}).empty());
  EXPECT_EQ(score, before);
}

TEST(SetUp, WrongPlacesAreTakenOut) {
  Score score = placed();
  fifthpeg::SetUp capo;
  capo.capo = 2;
  const Report report = set_up(score, capo);
  EXPECT_EQ(score.banjo.capo, 2);
  EXPECT_EQ(score.banjo.fifth_capo, 7);
  ASSERT_EQ(report.entries().size(), 1U);
  EXPECT_EQ(report.entries()[0].slug, "placement-replaced");
  EXPECT_EQ(report.entries()[0].count, 4U);
  EXPECT_TRUE(flaws(score).empty());

  Score moved = placed();
  capo.half_steps = 2;
  EXPECT_TRUE(set_up(moved, capo).empty());
  EXPECT_EQ(placements_of(moved), placements_of(placed()));
}

TEST(SetUp, MusicMovesAlongWithTheCapo) {
  Score score = placed();
  const Score before = score;
  fifthpeg::SetUp capo;
  capo.capo = 2;
  capo.music_moves_along = true;
  const Report report = set_up(score, capo);
  ASSERT_EQ(report.entries().size(), 1U);
  EXPECT_EQ(report.entries()[0].slug, "music-moved-with-strings");
  EXPECT_EQ(placements_of(score), placements_of(before));
  EXPECT_EQ(score.measures[0].strokes[0].notes[0].pitch.midi(),
            before.measures[0].strokes[0].notes[0].pitch.midi() + 2);
  EXPECT_TRUE(flaws(score).empty());
  capo.capo = 0;
  set_up(score, capo);
  EXPECT_EQ(score, before) << "back again";

  capo.capo = 2;
  capo.fifth_capo = 5;  // the drone stays: the strings are not raised alike
  EXPECT_EQ(set_up(score, capo).entries()[0].slug, "placement-replaced");
}

TEST(SetUp, ATuningKeepsThePlacesThatAreStillRight) {
  Score score = placed();
  fifthpeg::SetUp wanted;
  wanted.tuning = parse_tuning("gCGBD");  // the fourth string alone is another
  set_up(score, wanted);
  EXPECT_TRUE(flaws(score).empty());
}

TEST(SetUp, CapoOffTheNeck) {
  for (const fifthpeg::SetUp& wanted :
       {fifthpeg::SetUp{{}, 22, {}, {}, {}}, fifthpeg::SetUp{{}, {}, 22, {}, {}},
        fifthpeg::SetUp{{}, {}, 4, {}, {}}, fifthpeg::SetUp{{}, 5, {}, 5, {}}}) {
    Score score = placed();
    const Score before = score;
    try {
      set_up(score, wanted);
      FAIL();
    } catch (const UsageError& error) {
      EXPECT_EQ(error.code(), "capo-off-neck");
      EXPECT_TRUE(error.data().limit);
    }
    EXPECT_EQ(score, before);
  }
}

}  // namespace
}  // namespace fifthpeg
