// Facts of the trade about single strokes: which fingers pinch, what is played open, what stays where it is.
// Common practice, from memory.
#include <gtest/gtest.h>
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

Score as_written(Score score, HandsOptions options = {}) {
  options.transpose = 0;
  finger(score, options);
  return score;
}

Score struck_on(std::string_view words, std::initializer_list<Placement> places) {
  Score score = passage(words);
  auto place = places.begin();
  for (Note& note : score.measures[0].strokes[0].notes) note.placement = *place++;
  return as_written(std::move(score));
}

// ---- pinches -----------------------------------------------------------------------------------

TEST(Manner, NeighboringStringsArePinchedByIndexAndMiddle) {
  EXPECT_EQ(picking_fingers_of(struck_on("D4+B3", {{1, 0}, {2, 0}})), "IM");
  EXPECT_EQ(picking_fingers_of(struck_on("B3+G3", {{2, 0}, {3, 0}})), "IM");
  EXPECT_EQ(picking_fingers_of(struck_on("G3+D3", {{3, 0}, {4, 0}})), "IM");
}

TEST(Manner, OtherPinchesAreThumbAndMiddle) {
  EXPECT_EQ(picking_fingers_of(struck_on("B3+D3", {{2, 0}, {4, 0}})), "TM");
  EXPECT_EQ(picking_fingers_of(struck_on("D4+G3", {{1, 0}, {3, 0}})), "TM");
  EXPECT_EQ(picking_fingers_of(struck_on("D4+D3", {{1, 0}, {4, 0}})), "TM");
  EXPECT_EQ(picking_fingers_of(struck_on("G4+D4", {{5, 0}, {1, 0}})), "TM");
  EXPECT_EQ(picking_fingers_of(struck_on("G4+B3", {{5, 0}, {2, 0}})), "TM");
  EXPECT_EQ(picking_fingers_of(struck_on("G4+G3", {{5, 0}, {3, 0}})), "TM");
  // After the thumb, too, in eighths.
  EXPECT_EQ(picking_fingers_of(as_written(passage("G4 B3+D3 G4 D4+G3"))), "T TM T TM");
}

TEST(Manner, APinchTakesTheOpenStringBesideAStoppedNote) {
  EXPECT_EQ(placements_of(as_written(passage("D4+B3"))), "1:0+2:0");
  // After a slide into the unison, too, although a finger is there.
  Score slid = passage("A3 B3 D4+B3", {1, 8});
  slid.measures[0].strokes[0].notes[0].out_of = Technique::slide;
  slid.measures[0].strokes[1].notes[0].into = Technique::slide;
  EXPECT_EQ(placements_of(as_written(std::move(slid))), "3:2 3:4 1:0+2:0");
  EXPECT_EQ(placements_of(as_written(passage("E4 F#4+B3", {1, 4}))), "1:2 1:4+2:0");
}

// ---- short, ringing and struck again -----------------------------------------------------------

TEST(Manner, ShortNotesAreStopped) {
  for (const std::string_view words : {"D4 E4 D4 C4", "B3 A3 B3 C4", "G3 A3 B3 D4", "G4 F#4 G4 E4"}) {
    for (const bool damped : {false, true}) {
      Score score = passage(words, {1, 4});
      for (Stroke& stroke : score.measures[0].strokes) {
        stroke.articulations.staccato = !damped;
        stroke.notes[0].ring = damped ? Ring::damp : Ring::natural;
      }
      const Score short_notes = as_written(std::move(score));
      for (const Stroke& stroke : short_notes.measures[0].strokes) {
        EXPECT_GT(stroke.notes[0].placement->fret, 0) << placements_of(short_notes);
      }
    }
  }
  // What no fret gives stays open.
  Score lowest = passage("D3");
  lowest.measures[0].strokes[0].articulations.staccato = true;
  EXPECT_EQ(placements_of(as_written(std::move(lowest))), "4:0");
}

TEST(Manner, WhatIsLetRingKeepsItsString) {
  // Alone, the second string plays all of these.
  EXPECT_EQ(placements_of(as_written(passage("B3 C4 B3 C4", {1, 4}))), "2:0 2:1 2:0 2:1");
  for (const std::size_t ringing : {std::size_t{0}, std::size_t{1}}) {
    Score score = passage("B3 C4 B3 C4", {1, 4});
    score.measures[0].strokes[ringing].notes[0].ring = Ring::let_ring;
    const Score played = as_written(std::move(score));
    const auto& strokes = played.measures[0].strokes;
    const int string = strokes[ringing].notes[0].placement->string;
    EXPECT_NE(strokes[ringing + 1].notes[0].placement->string, string) << placements_of(played);
  }
}

TEST(Manner, APitchStruckAgainStaysWhereItIs) {
  for (const Style style : {Style::roll, Style::melodic, Style::single_string, Style::clawhammer}) {
    HandsOptions options;
    options.style = style;
    for (const std::string_view words : {"C4 C4 E4 E4 A3 A3 F#4 F#4", "A4 A4 A4 G4 B4 B4 A4 A4"}) {
      const Score score = as_written(passage(words, {1, 4}), options);
      const Note* before = nullptr;
      for (const Measure& measure : score.measures) {
        for (const Stroke& stroke : measure.strokes) {
          const Note& note = stroke.notes[0];
          if (before != nullptr && before->pitch == note.pitch) {
            EXPECT_EQ(before->placement, note.placement) << slug(style) << ": " << placements_of(score);
          }
          before = &note;
        }
      }
    }
  }
}

TEST(Manner, PhrasesComeToRestOnOpenStrings) {
  for (const std::string_view words :
       {"A4 B4 A4 F#4 A4 F#4 E4 F#4 G4 - - -", "A4 C5 B4 A4 B4 A4 F#4 A4 G4 - - -"}) {
    Score score = passage(words);
    score.measures[1].strokes[0].duration = Fraction(1, 2);
    score.measures[1].strokes.resize(1);
    normalize(score);
    const Score played = as_written(std::move(score));
    const Note& last = played.measures[1].strokes[0].notes[0];
    EXPECT_FALSE(last.finger == FretFinger::little && last.placement->fret > 4) << placements_of(played);
  }
}

// ---- the chordy manner -------------------------------------------------------------------------

TEST(Manner, ClosedStopsWhatIsStruckTogetherOrDamped) {
  HandsOptions closed;
  closed.closed = true;
  EXPECT_EQ(placements_of(as_written(passage("D4+B3+G3"))), "1:0+2:0+3:0");
  for (const std::string_view words : {"D4+B3+G3", "E4+C4+G3", "G4+D4+B3", "G4+E4+C4", "D4+B3"}) {
    const Score score = as_written(passage(words, {1, 4}), closed);
    for (const Note& note : score.measures[0].strokes[0].notes)
      EXPECT_GT(note.placement->fret, 0) << placements_of(score);
  }
  // Single notes that ring are as ever.
  EXPECT_EQ(placements_of(as_written(passage("G3 B3 G4 D4"), closed)), "3:0 2:0 5:0 1:0");
  EXPECT_EQ(fingers_of(as_written(passage("E4+C4+G3"), closed)).find('0'), std::string::npos);
}

}  // namespace
}  // namespace fifthpeg
