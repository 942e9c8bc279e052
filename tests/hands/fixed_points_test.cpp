// Notes that are to be where somebody says.
#include <gtest/gtest.h>
#include <string>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/hands.hpp"
#include "hands/scores.hpp"

namespace fifthpeg {
namespace {

using testing::passage;
using testing::placements_of;

HandsOptions fixed(const FixedPoint& point) {
  HandsOptions options;
  options.transpose = 0;
  options.fixed_points.push_back(point);
  return options;
}

FixedPoint at(const char* measure, Fraction beat) {
  FixedPoint point;
  point.measure = measure;
  point.beat = beat;
  return point;
}

std::string refusal(Score score, const FixedPoint& point) {
  const Score before = score;
  try {
    finger(score, fixed(point));
  } catch (const UnplayableError& error) {
    EXPECT_EQ(score, before);
    return error.code() + ": " + error.what();
  }
  return "";
}

TEST(FixedPoints, AStringIsKeptAndTheFretFollows) {
  Score score = passage("G3 B3 D4 G3");
  FixedPoint point = at("1", Fraction(3, 2));
  point.string = 4;
  finger(score, fixed(point));
  EXPECT_EQ(placements_of(score).substr(0, 8), "3:0 4:9 ");
}

TEST(FixedPoints, AFretSaysTheString) {
  Score score = passage("G3 B3 D4 G3");
  FixedPoint point = at("1", 2);
  point.fret = 7;
  finger(score, fixed(point));
  EXPECT_EQ(score.measures[0].strokes[2].notes[0].placement, (Placement{3, 7}));
}

TEST(FixedPoints, FingersOfBothHands) {
  Score score = passage("A3 C4");
  FixedPoint point = at("1", 1);
  point.finger = FretFinger::little;
  point.picking_finger = PickingFinger::index;
  finger(score, fixed(point));
  EXPECT_EQ(score.measures[0].strokes[0].notes[0].finger, FretFinger::little);
  EXPECT_EQ(score.measures[0].strokes[0].notes[0].picking_finger, PickingFinger::index);
}

TEST(FixedPoints, AreStrongerThanWhatTheScoreHasAndStayWhenAllIsFoundAnew) {
  Score score = passage("D4 D4");
  for (Stroke& stroke : score.measures[0].strokes) {
    if (!stroke.is_rest()) stroke.notes[0].placement = Placement{1, 0};
  }
  FixedPoint point = at("1", 1);
  point.string = 2;
  HandsOptions options = fixed(point);
  options.refinger = Refinger::all;
  finger(score, options);
  EXPECT_EQ(score.measures[0].strokes[0].notes[0].placement, (Placement{2, 3}));
}

TEST(FixedPoints, OfSeveralNotesOneIsNamed) {
  FixedPoint point = at("1", 1);
  point.string = 3;
  EXPECT_EQ(refusal(passage("D4+B3 G3"), point),
            "which-note: several notes are struck here; name one after the place, as in '4:3 D4 string 1': "
            "D4 or B3");
  point.pitch = parse_pitch("B3");
  Score score = passage("D4+B3 G3");
  finger(score, fixed(point));
  EXPECT_EQ(score.measures[0].strokes[0].notes[1].placement, (Placement{3, 4}));
}

TEST(FixedPoints, WhatCannotBeIsRefused) {
  FixedPoint point = at("9", 1);
  point.string = 3;
  EXPECT_EQ(refusal(passage("D4 B3"), point), "no-such-note: there is no such measure; the last one is 1");
  point = at("1", 3);
  point.string = 3;
  EXPECT_EQ(refusal(passage("D4 B3"), point),
            "no-such-note: no note is struck here; one is at beat 1 or beat 1.5");
  point = at("1", 1);
  point.string = 1;
  EXPECT_EQ(refusal(passage("B3 B3 E3"), point), "no-such-place: string 1 does not give B3");
  point.string.reset();
  point.fret = 3;
  EXPECT_EQ(refusal(passage("B3 B3 E3"), point), "no-such-place: no string gives B3 at fret 3");
  point.pitch = parse_pitch("C4");
  EXPECT_EQ(refusal(passage("B3 B3"), point), "no-such-note: C4 is not struck here; what is: B3");
}

TEST(FixedPoints, AWrongFretKeepsItsString) {
  Score score = passage("B3 D4");
  score.measures[0].strokes[0].notes[0].placement = Placement{3, 2};  // sounds A3
  finger(score);
  EXPECT_EQ(score.measures[0].strokes[0].notes[0].placement, (Placement{3, 4}));
}

}  // namespace
}  // namespace fifthpeg
