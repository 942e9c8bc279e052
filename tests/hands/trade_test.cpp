// What a good player would have chosen. Every expectation in this file is common practice of the trade, from
// memory: it holds the cost table to what players do.
#include <gtest/gtest.h>
#include <set>
#include <string>
#include <string_view>

#include "fifthpeg/hands.hpp"
#include "hands/scores.hpp"

namespace fifthpeg {
namespace {

using testing::fingers_of;
using testing::passage;
using testing::picking_fingers_of;
using testing::placements_of;

Score played(std::string_view words, Style style, int quarters_per_minute = 120, Fraction each = {1, 8}) {
  Score score = passage(words, each, quarters_per_minute);
  HandsOptions options;
  options.style = style;
  options.transpose = 0;
  finger(score, options);
  return score;
}

// ---- rolls and pinches -------------------------------------------------------------------------

TEST(Trade, AlternatingThumbRoll) {
  const Score score = played("G3 B3 G4 D4 D3 B3 G4 D4", Style::roll, 130);
  EXPECT_EQ(placements_of(score), "3:0 2:0 5:0 1:0 4:0 2:0 5:0 1:0");
  EXPECT_EQ(picking_fingers_of(score), "T I T M T I T M");
}

TEST(Trade, ForwardBackwardRoll) {
  const Score score = played("G3 B3 D4 G4 D4 B3 G3 D4", Style::roll, 130);
  EXPECT_EQ(placements_of(score), "3:0 2:0 1:0 5:0 1:0 2:0 3:0 1:0");
  EXPECT_EQ(picking_fingers_of(score), "T I M T M I T M");
}

TEST(Trade, ForwardRollRepeatsNoFinger) {
  const Score score = played("B3 D4 G4 B3 D4 G4 B3 D4", Style::roll, 160);
  EXPECT_EQ(placements_of(score), "2:0 1:0 5:0 2:0 1:0 5:0 2:0 1:0");
  EXPECT_EQ(picking_fingers_of(score), "I M T I M T I M");
}

TEST(Trade, Pinches) {
  EXPECT_EQ(picking_fingers_of(played("D4+G3", Style::roll)), "TM");      // 3 and 1
  EXPECT_EQ(picking_fingers_of(played("G4+D4", Style::roll)), "TM");      // 5 and 1
  EXPECT_EQ(picking_fingers_of(played("B3+D3", Style::roll)), "TM");      // 4 and 2
  EXPECT_EQ(picking_fingers_of(played("D4+B3", Style::roll)), "IM");      // 2 and 1
  EXPECT_EQ(picking_fingers_of(played("B3+G3+D3", Style::roll)), "TIM");  // 4, 3 and 2
  EXPECT_EQ(picking_fingers_of(played("D4+B3+G3", Style::roll)), "TIM");  // 3, 2 and 1
  EXPECT_EQ(picking_fingers_of(played("D4+B3+D3", Style::roll)), "TIM");  // 4, 2 and 1
}

TEST(Trade, PinchOfThirdAndSecondLeavesTheThumbAloneWhenItHasJustPlayed) {
  const std::string alone = picking_fingers_of(played("B3+G3", Style::roll));
  EXPECT_TRUE(alone == "IM" || alone == "TM") << alone;
  EXPECT_EQ(picking_fingers_of(played("G4 B3+G3", Style::roll, 130)), "T IM");
}

// ---- scales ------------------------------------------------------------------------------------

TEST(Trade, MelodicScaleInG) {
  const Score up = played("G3 A3 B3 C4 D4 E4 F#4 G4", Style::melodic);
  EXPECT_EQ(placements_of(up), "3:0 4:7 2:0 3:5 1:0 2:5 1:4 5:0");
  const Score down = played("G4 F#4 E4 D4 C4 B3 A3 G3", Style::melodic);
  EXPECT_EQ(placements_of(down), "5:0 1:4 2:5 1:0 3:5 2:0 4:7 3:0");
  EXPECT_EQ(fingers_of(up), "0 4 0 2 0 2 1 0");  // one finger a fret from the fourth
}

// A plain melody at a teaching tempo, as a beginner is taught it: first position, open strings.
TEST(Trade, RollStyleKeepsAPlainMelodyInFirstPosition) {
  for (const int tempo : {60, 80, 90, 100}) {
    EXPECT_EQ(placements_of(played("G3 A3 B3 C4 D4 E4 F#4 G4", Style::roll, tempo)),
              "3:0 3:2 2:0 2:1 1:0 1:2 1:4 5:0")
        << tempo;
    EXPECT_EQ(placements_of(played("G3 A3 B3 C4 D4 E4 F#4 G4", Style::melodic, tempo)),
              "3:0 4:7 2:0 3:5 1:0 2:5 1:4 5:0")
        << tempo;
  }
}

TEST(Trade, ANoteRepeatedInQuartersStaysOnItsString) {
  const Fraction quarter(1, 4);
  EXPECT_EQ(placements_of(played("C4 C4 C4 - B3 B3 B3 B3 A3 A3 G3 G3", Style::roll, 100, quarter)),
            "2:1 2:1 2:1 2:0 2:0 2:0 2:0 3:2 3:2 3:0 3:0");
  // Eighths between them too.
  EXPECT_EQ(placements_of(played("B3 - B3 B3 B3 - B3 B3", Style::roll, 100)), "2:0 2:0 2:0 2:0 2:0 2:0");
}

// At speed the roll player changes strings, where the other is near: not from the open second string to
// fret 4.
TEST(Trade, FastRepeatsChangeTheString) {
  const std::string places = placements_of(played("D4 D4 D4 D4", Style::roll, 100, {1, 16}));
  EXPECT_NE(places.substr(0, 1), places.substr(4, 1)) << places;
}

// E4 and C4 over C: the two upper notes of the open chord, not one of them up the neck.
TEST(Trade, NotesOfAnOpenChordTakeItsShape) {
  EXPECT_EQ(placements_of(played("E3 C4 E4 G4 E4 C4 G3 E4", Style::roll, 90)),
            "4:2 2:1 1:2 5:0 1:2 2:1 3:0 1:2");
  EXPECT_EQ(placements_of(played("A3 C4 D4 A3 C4 B3 A3 F#3", Style::roll, 90)),
            "3:2 2:1 1:0 3:2 2:1 2:0 3:2 4:4");
}

TEST(Trade, SingleStringScaleAlternatesThumbAndIndexInOnePosition) {
  const Score score = played("G3 A3 B3 C4 D4 E4 F#4 G4", Style::single_string, 130);
  EXPECT_EQ(picking_fingers_of(score), "T I T I T I T I");
  int low = 99;
  int high = 0;
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      for (const Note& note : stroke.notes) {
        EXPECT_GT(note.placement->fret, 0) << "closed positions";
        low = std::min<int>(low, note.placement->fret);
        high = std::max<int>(high, note.placement->fret);
      }
    }
  }
  EXPECT_LE(high - low, 4) << "no shift where none is needed";
}

TEST(Trade, TheFourthStringIsWalkedUpWithNeighboringFingers) {
  const Score score = played("E3 F3 F#3", Style::roll);
  EXPECT_EQ(placements_of(score), "4:2 4:3 4:4");
  const std::string fingers = fingers_of(score);
  EXPECT_TRUE(fingers == "1 2 3" || fingers == "2 3 4") << fingers;
}

// ---- chords ------------------------------------------------------------------------------------

TEST(Trade, BarShapeAtTheTwelfthFret) {
  const Score score = played("D5+B4+G4+D4", Style::roll);
  EXPECT_EQ(placements_of(score), "1:12+2:12+3:12+4:12");
  EXPECT_EQ(fingers_of(score), "1111");
}

TEST(Trade, FShape) {
  // C at the eighth, D at the tenth, F at the first fret: ring on 4, middle on 3, index on 2, little on 1.
  const Score c = played("C5+G4+E4+C4", Style::roll);
  EXPECT_EQ(placements_of(c), "1:10+2:8+3:9+4:10");
  EXPECT_EQ(fingers_of(c), "3214");
  const Score d = played("D5+A4+F#4+D4", Style::roll);
  EXPECT_EQ(placements_of(d), "1:12+2:10+3:11+4:12");
  EXPECT_EQ(fingers_of(d), "3214");
  const Score f = played("F4+C4+A3+F3", Style::roll);
  EXPECT_EQ(placements_of(f), "1:3+2:1+3:2+4:3");
  EXPECT_EQ(fingers_of(f), "3214");
}

TEST(Trade, DShape) {
  // Index on 3, middle on 2, ring on 4, little on 1.
  const Score c = played("E5+C5+G4+E4", Style::roll);
  EXPECT_EQ(placements_of(c), "1:14+2:13+3:12+4:14");
  EXPECT_EQ(fingers_of(c), "3124");
  const Score f = played("A4+F4+C4+A3", Style::roll);
  EXPECT_EQ(placements_of(f), "1:7+2:6+3:5+4:7");
  EXPECT_EQ(fingers_of(f), "3124");
}

TEST(Trade, FirstPositionChords) {
  const Score c = played("E4+C4+G3+E3", Style::roll);  // C: index on 2, middle on 4, ring on 1
  EXPECT_EQ(placements_of(c), "1:2+2:1+3:0+4:2");
  EXPECT_EQ(fingers_of(c), "2013");
  const Score d7 = played("D4+C4+A3+F#3", Style::roll);
  EXPECT_EQ(placements_of(d7), "1:0+2:1+3:2+4:4");
  const Score g = played("D4+B3+G3+D3", Style::roll);
  EXPECT_EQ(placements_of(g), "1:0+2:0+3:0+4:0");
}

TEST(Trade, ATwoFingerPieceOfAShapeMovesAsABlock) {
  const Score piece = played("F#4+A#3 - F4+A3 - E4+G#3", Style::roll, 100);
  const std::string fingers = fingers_of(piece);
  EXPECT_EQ(placements_of(piece), "1:4+3:3 1:3+3:2 1:2+3:1");
  EXPECT_EQ(fingers.substr(0, 2), fingers.substr(3, 2));
  EXPECT_EQ(fingers.substr(0, 2), fingers.substr(6, 2));
}

// The F shape from the eighth fret to the tenth: each finger stays on its string.
TEST(Trade, AWholeShapeMovesAsABlock) {
  const Score score = played("C5+G4+E4+C4 - D5+A4+F#4+D4 - C5+G4+E4+C4", Style::roll, 100);
  EXPECT_EQ(placements_of(score), "1:10+2:8+3:9+4:10 1:12+2:10+3:11+4:12 1:10+2:8+3:9+4:10");
  EXPECT_EQ(fingers_of(score), "3214 3214 3214");
}

// Broken after it was struck, the chord is held on: no finger moves.
TEST(Trade, AShapeStaysOnWhereTheNotesThatFollowBelongToIt) {
  const Score score = played("C5+G4+E4+C4 C4 E4 C5 C4 E4 C5 C4", Style::roll, 120);
  EXPECT_EQ(placements_of(score), "1:10+2:8+3:9+4:10 4:10 3:9 1:10 4:10 3:9 1:10 4:10");
  EXPECT_EQ(fingers_of(score), "3214 3 2 4 3 2 4 3");
  // In any order.
  EXPECT_EQ(fingers_of(played("A4+E4+C#4+A3 C#4 E4 A4", Style::roll, 120)), "3214 2 1 4");
  EXPECT_EQ(fingers_of(played("A4+E4+C#4+A3 C#4 E4 A4 C#4 E4 A4 A3", Style::roll, 120)),
            "3214 2 1 4 2 1 4 3");
  EXPECT_EQ(fingers_of(played("A4+E4+C#4+A3 E4 C#4 A3 E4 A4 C#4", Style::roll, 120)), "3214 1 2 3 1 4 2");
  // Also where the fifth string gives the same note.
  EXPECT_EQ(fingers_of(played("C5+G4+E4+C4 E4 G4 C5", Style::roll, 120)), "3214 2 1 4");
}

// The C shape in a roll: index on the second string, middle on the fourth, ring on the first, all of it kept.
TEST(Trade, TheOpenCShapeIsKeptThroughARoll) {
  const Score score = played("E3 C4 E4 G4 E4 C4 E3 E4", Style::roll, 90);
  EXPECT_EQ(placements_of(score), "4:2 2:1 1:2 5:0 1:2 2:1 4:2 1:2");
  EXPECT_EQ(fingers_of(score), "2 1 3 0 3 1 2 3");
}

TEST(Trade, ABrushGoesOverNeighboringStrings) {
  const Score score = played("G4+D4+B3+G3", Style::roll);
  std::set<int> strings;
  for (const Note& note : score.measures[0].strokes[0].notes) strings.insert(note.placement->string);
  EXPECT_EQ(strings.size(), 4U);
  EXPECT_EQ(*strings.rbegin() - *strings.begin(), 3);
}

// Four fingers hold the D shape; only the thumb is left for the fifth string.
TEST(Trade, TheThumbComesOverTheTopWhereNoFingerIsLeft) {
  Score score = passage("A4+G#4+F4+C4+A3");
  constexpr Placement places[] = {{1, 7}, {5, 6}, {2, 6}, {3, 5}, {4, 7}};
  for (std::size_t n = 0; n < 5; ++n) score.measures[0].strokes[0].notes[n].placement = places[n];
  finger(score);
  EXPECT_EQ(placements_of(score), "1:7+5:6+2:6+3:5+4:7");
  EXPECT_EQ(fingers_of(score), "T3124");
}

// ---- techniques --------------------------------------------------------------------------------

Score slurred(std::string_view words, Technique technique, Style style = Style::roll) {
  Score score = passage(words);
  std::vector<Stroke>& strokes = score.measures[0].strokes;
  strokes[0].notes[0].out_of = technique;
  strokes[1].notes[0].into = technique;
  HandsOptions options;
  options.style = style;
  finger(score, options);
  return score;
}

TEST(Trade, ASlideKeepsStringAndFinger) {
  const Score score = slurred("A3 C#4 G4", Technique::slide);
  const Note& from = score.measures[0].strokes[0].notes[0];
  const Note& to = score.measures[0].strokes[1].notes[0];
  EXPECT_EQ(from.placement->string, to.placement->string);
  EXPECT_EQ(from.finger, to.finger);
  EXPECT_EQ(to.into, Technique::slide);
  EXPECT_FALSE(to.picking_finger) << "what is slid to is not picked";
}

TEST(Trade, ASlurUpwardsIsHammeredAndDownwardsPulled) {
  const Score up = slurred("D4 E4 G4", Technique::slur);
  EXPECT_EQ(placements_of(up).substr(0, 7), "1:0 1:2");
  EXPECT_EQ(up.measures[0].strokes[1].notes[0].into, Technique::hammer_on);
  EXPECT_EQ(up.measures[0].strokes[0].notes[0].out_of, Technique::hammer_on);
  const Score down = slurred("E4 D4 G4", Technique::slur);
  EXPECT_EQ(placements_of(down).substr(0, 7), "1:2 1:0");
  EXPECT_EQ(down.measures[0].strokes[1].notes[0].into, Technique::pull_off);
}

TEST(Trade, AHammerOnBetweenStoppedNotesLandsWithAHigherFinger) {
  const Score score = slurred("A3 A#3 G4", Technique::hammer_on);  // 3:2 to 3:3, the usual one
  const Note& from = score.measures[0].strokes[0].notes[0];
  const Note& to = score.measures[0].strokes[1].notes[0];
  EXPECT_EQ(placements_of(score).substr(0, 7), "3:2 3:3");
  EXPECT_GT(*to.finger, *from.finger);
}

// ---- chokes ------------------------------------------------------------------------------------

FretFinger finger_that_chokes(std::string_view words, std::size_t choked) {
  Score score = passage(words);
  score.measures[0].strokes[choked].notes[0].choke = Choke{};
  HandsOptions options;
  options.transpose = 0;
  finger(score, options);
  return *score.measures[0].strokes[choked].notes[0].finger;
}

// Two fingers push: the middle one in front of the index finger, or the ring finger in front of both.
TEST(Trade, TheMiddleOrRingFingerChokes) {
  for (const std::string_view words :
       {"A4 D5 G4 A4", "A4", "F4 G4 D4 F4", "G4 A4 B4 G4", "C4 E4 G4 C4", "A#3 G4 D4 A#3"}) {
    const FretFinger chokes = finger_that_chokes(words, 0);
    EXPECT_TRUE(chokes == FretFinger::middle || chokes == FretFinger::ring) << words;
  }
}

// In the middle of a run too.
TEST(Trade, AChokeInsideALineIsNotTheIndexFingers) {
  for (const std::string_view words : {"G4 A4 B4 A4", "D4 F4 G4 D4", "G3 A#3 B3 G3", "B3 C4 D4 B3"}) {
    const FretFinger chokes = finger_that_chokes(words, 1);
    EXPECT_TRUE(chokes == FretFinger::middle || chokes == FretFinger::ring) << words;
  }
}

// ---- clawhammer --------------------------------------------------------------------------------

TEST(Trade, ClawhammerThumbTakesTheDroneOffTheBeat) {
  const Score score =
      played("G3 - D4+B3+G3 G4 A3 - D4+B3+G3 G4 B3 G4 D4 G4 E4 - D4+B3 G4", Style::clawhammer, 110);
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      for (const Note& note : stroke.notes) {
        if (note.placement->string == fifth_string) {
          EXPECT_EQ(note.picking_finger, PickingFinger::thumb);
          EXPECT_NE((stroke.onset * 4).den(), 1) << "off the beat";
        } else {
          EXPECT_EQ(note.picking_finger, PickingFinger::nail);
        }
      }
    }
  }
}

// The thumb drops to the string that the nail has struck or to one nearer the fifth string, never beyond.
TEST(Trade, TheThumbDropsBehindTheNail) {
  for (const std::string_view words : {"D4 B3 G3 B3 D4 B3 G3 B3", "B3 C4 D4 E4 D4 C4 B3 A3",
                                       "G3 B3 D4 B3 C4 E4 D4 C4", "A4 F#4 D4 F#4 B4 A4 F#4 D4"}) {
    for (const bool added : {true, false}) {
      for (const int tempo : {80, 110, 150}) {
        Score score = passage(words, {1, 8}, tempo);
        HandsOptions options;
        options.style = Style::clawhammer;
        if (!added) options.suggest_slurs = false;
        finger(score, options);
        int nailed = 0;
        for (const Stroke& stroke : score.measures[0].strokes) {
          if (stroke.is_rest()) continue;
          const Note& note = stroke.notes[0];
          EXPECT_FALSE(note.picking_finger == PickingFinger::thumb && note.placement->string < nailed);
          nailed = note.picking_finger == PickingFinger::nail ? note.placement->string : 0;
        }
      }
    }
  }
}

TEST(Trade, ADropThumbFromTheFirstStringToTheSecond) {
  const Score score = played("D4 B3 D4 B3 D4 G4", Style::clawhammer, 120);
  EXPECT_EQ(placements_of(score), "1:0 2:0 1:0 2:0 1:0 5:0");
  EXPECT_EQ(picking_fingers_of(score), "N T N T N T");
}

TEST(Trade, WhatTheNailCannotReachInTimeIsHammered) {
  const Score score = played("G3 A3 B3 G4 D4 E4 D4 G4", Style::clawhammer, 110);
  EXPECT_EQ(placements_of(score), "3:0 3:2 2:0 5:0 1:0 1:2 1:0 5:0");
  EXPECT_EQ(picking_fingers_of(score), "N - N T N - N T");
}

// ---- advice ------------------------------------------------------------------------------------

Score in_key(std::string_view words, std::int8_t fifths, Mode mode) {
  Score score = passage(words, {1, 8}, 100);
  for (Measure& measure : score.measures) measure.key = {fifths, mode};
  return score;
}

TEST(Trade, AFiddleTuneInALandsOnOpenGShapesWithTheCapoAtTwo) {
  const auto advice =
      advise(in_key("E4 A4 B4 C#5 A4 C#5 E5 C#5 D5 F#5 E5 C#5 B4 A4 G#4 E4 "
                    "A4 C#5 E5 A5 F#5 E5 C#5 A4 B4 C#5 B4 G#4 A4 C#5 A4 A4",
                    3, Mode::major));
  ASSERT_FALSE(advice.empty());
  EXPECT_EQ(advice[0].banjo.tuning, open_g());
  EXPECT_EQ(advice[0].banjo.capo, 2);
  EXPECT_EQ(advice[0].banjo.fifth_capo, 7);
  EXPECT_EQ(to_string(advice[0].shapes), "G major");
  EXPECT_EQ(advice[0].half_steps, -12);
  EXPECT_TRUE(advice[0].playable);
}

// A tune in G stays in open G even where its melody has no D.
TEST(Trade, ATuneInGLandsOnOpenG) {
  for (const std::string_view words :
       {"B4 B4 B4 B4 C5 C5 C5 C5 B4 B4 B4 B4 A4 A4 A4 A4 B4 B4 B4 B4 C5 C5 C5 C5 B4 G4 A4 A4 G4 G4 G4 G4",
        "G4 B4 D5 B4 G4 B4 D5 G5 F#5 D5 E5 F#5 G5 D5 B4 G4 E4 G4 C5 E5 D5 B4 A4 F#4 G4 B4 A4 F#4 G4 G4 G4 "
        "G4"}) {
    const auto advice = advise(in_key(words, 1, Mode::major));
    ASSERT_FALSE(advice.empty());
    EXPECT_EQ(advice[0].banjo, Banjo{});
    EXPECT_EQ(advice[0].half_steps, -12);
    EXPECT_TRUE(advice[0].playable);
  }
}

// A signature of one sharp, called G major as MIDI files do, but the tune is in A dorian: it ends there.
TEST(Trade, AModalTuneWithAMajorSignatureIsKnownByItsEnd) {
  const auto advice =
      advise(in_key("A4 C5 E5 A4 G4 B4 D5 G4 A4 B4 C5 A4 E5 D5 C5 B4 "
                    "A4 C5 B4 G4 E4 G4 A4 E5 C5 A4 B4 G4 A4 E4 A4 A4",
                    1, Mode::major));
  ASSERT_FALSE(advice.empty());
  EXPECT_EQ(spelling(advice[0].banjo.tuning), "gDGCD");
  EXPECT_EQ(advice[0].banjo.capo, 2);
  EXPECT_EQ(advice[0].banjo.fifth_capo, 7);
}

// aDADE for clawhammer; rolls come from open G, without retuning.
TEST(Trade, AFiddleTuneInDLandsOnDoubleCOrOpenGByStyle) {
  const Score tune = in_key(
      "D4 F#4 A4 D5 F#5 A5 F#5 D5 E5 G5 F#5 E5 D5 B4 A4 F#4 "
      "G4 B4 D5 B4 A4 F#4 D4 F#4 E4 C#5 D5 E5 D5 F#5 D5 D5",
      2, Mode::major);
  AdviseOptions options;
  options.style = Style::clawhammer;
  const Advice claw = advise(tune, options).front();
  EXPECT_EQ(spelling(claw.banjo.tuning), "gCGCD");
  EXPECT_EQ(claw.banjo.capo, 2);
  EXPECT_EQ(claw.banjo.fifth_capo, 7);
  EXPECT_EQ(claw.reasons.front(),
            "capo at 2 (aDADE), D played as C: double C is the clawhammer tuning for C shapes");
  const Advice rolls = advise(tune).front();
  EXPECT_EQ(rolls.banjo, Banjo{});
  EXPECT_EQ(rolls.reasons.front(), "D is played from open G, with the fifth string as it is");
}

TEST(Trade, ATuneInCLandsOnACTuningOrOpenG) {
  const auto advice =
      advise(in_key("C4 E4 G4 C5 E5 G5 E5 C5 D5 F5 E5 D5 C5 A4 G4 E4 "
                    "F4 A4 C5 A4 G4 E4 C4 E4 D4 B4 C5 D5 C5 E5 C5 C5",
                    0, Mode::major));
  ASSERT_FALSE(advice.empty());
  const std::set<std::string> usual{"gCGCD", "gCGBD", "gDGBD"};
  EXPECT_TRUE(usual.count(spelling(advice[0].banjo.tuning)) == 1) << spelling(advice[0].banjo.tuning);
  EXPECT_EQ(advice[0].banjo.capo, 0);
}

TEST(Trade, MinorAndModalTunesGetWhatAPlayerRecognizes) {
  const auto minor =
      advise(in_key("E4 G4 B4 E5 D5 B4 A4 G4 F#4 D4 E4 F#4 G4 A4 B4 D5 "
                    "E5 D5 B4 A4 G4 F#4 E4 D4 E4 G4 F#4 D4 E4 G4 E4 E4",
                    1, Mode::minor));
  ASSERT_FALSE(minor.empty());
  EXPECT_LE(minor[0].banjo.capo, 2);
  EXPECT_EQ(spelling(minor[0].banjo.tuning), "gDGBD");  // E minor out of open G
  const auto modal =
      advise(in_key("A4 C5 E5 A4 G4 B4 D5 G4 A4 B4 C5 D5 E5 D5 C5 B4 "
                    "A4 C5 B4 G4 E4 G4 A4 B4 C5 D5 B4 G4 A4 C5 A4 A4",
                    1, Mode::dorian));
  ASSERT_FALSE(modal.empty());
  const std::set<std::string> usual{"gDGBD", "gDGCD"};
  EXPECT_TRUE(usual.count(spelling(modal[0].banjo.tuning)) == 1);
  EXPECT_EQ((modal[0].banjo.open_midi(fifth_string) - modal[0].half_steps) % 12, 69 % 12)
      << "the drone sounds A";
}

}  // namespace
}  // namespace fifthpeg
