// What a lick does. What players call what: common practice, from memory.
#include <chrono>
#include <gtest/gtest.h>
#include <string>
#include <vector>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/harmony.hpp"
#include "fifthpeg/licks.hpp"
#include "licks/lick_text.hpp"

namespace fifthpeg {
namespace {

using testing::lick_score;
using testing::LickKind;
using Texts = std::vector<std::string>;

// A slide and a hammer-on in G, and an open string to land on.
const char* const in_g =
    "[G] 3:2.2T s3:3.2 2:0I 1:0M 5:0T 3:0T 1:0M 5:0T | 4:0T h4:2.2 3:0I 1:0M 5:0T 2:0I 1:0M 5:0T | 3:0T*8";

TEST(LickFacts, OfALickInG) {
  const LickFacts facts = lick_facts(lick_score(in_g));
  EXPECT_EQ(to_string(facts.key), "G major");
  EXPECT_EQ(to_string(facts.from), "G");
  EXPECT_EQ(to_string(facts.to), "G");
  EXPECT_FALSE(facts.chords_inferred);
  EXPECT_EQ(facts.beats, 8);
  EXPECT_EQ(facts.pickup, 0);
  EXPECT_TRUE(facts.lands);
  EXPECT_EQ(facts.capo, 0);
  ASSERT_TRUE(facts.frets);
  EXPECT_EQ(facts.frets->lowest, 2);
  EXPECT_EQ(facts.frets->highest, 3);
  EXPECT_EQ(facts.strings, (std::vector<int>{1, 2, 3, 4, 5}));
  EXPECT_EQ(facts.techniques, (Texts{"hammer-on", "slide"}));
  EXPECT_EQ(facts.style, Style::roll);
}

TEST(LickFacts, LeadsToTheChordOverTheNoteItLandsOn) {
  const LickFacts facts =
      lick_facts(lick_score("[G] 3:0T 2:0I 5:0T 1:0M 4:0T 2:0I 5:0T 1:0M | [C] 4:2.2T*8"));
  EXPECT_EQ(to_string(facts.from), "G");
  EXPECT_EQ(to_string(facts.to), "C");
  EXPECT_EQ(facts.beats, 4);
}

TEST(LickFacts, LeadsToItsLastChordWhereItDoesNotLand) {
  const LickFacts facts = lick_facts(
      lick_score("[D7] 4:0T 3:2.2I 5:0T 1:0M 3:2.2T 2:1.1I 5:0T 1:0M | [G] 3:0T 2:0I 5:0T 1:0M 3:0T*4"));
  EXPECT_EQ(to_string(facts.from), "D7");
  EXPECT_EQ(to_string(facts.to), "G");
  EXPECT_FALSE(facts.lands);
  EXPECT_EQ(facts.beats, 8);
}

// A measure of the tonic, one of the dominant, and home: what any player puts to it.
TEST(LickFacts, ChordsAreFoundWhereThereAreNone) {
  const LickFacts facts =
      lick_facts(lick_score("3:0T 2:0I 5:0T 1:0M 3:0T 2:0I 5:0T 1:0M | 4:0T 3:2.2I 1:4.4M 2:1.1I 4:0T 3:2.2I "
                            "1:4.4M 2:1.1I | 3:0T*8"));
  EXPECT_TRUE(facts.chords_inferred);
  EXPECT_EQ(to_string(facts.from), "G");
  EXPECT_EQ(to_string(facts.to), "G");
}

TEST(LickFacts, APickupCountsBeatsBeforeTheBarline) {
  const LickFacts facts =
      lick_facts(lick_score("[G] 4:0T*2 4:2.2T*2 | 3:0T 2:0I 5:0T 1:0M 3:0T 2:0I 5:0T 1:0M"));
  EXPECT_EQ(facts.pickup, 2);
  EXPECT_EQ(facts.beats, 6);
  EXPECT_FALSE(facts.lands);
}

// In 6/8 beats are dotted quarters.
TEST(LickFacts, BeatsAreThoseOfTheMeter) {
  LickKind jig;
  jig.meter = {{6}, 8, Meter::Symbol::numbers};
  const LickFacts facts =
      lick_facts(lick_score("[G] 3:0T 2:0I 1:0M 3:0T 2:0I 1:0M | 3:0T 2:0I 1:0M 3:0T*3", jig));
  EXPECT_EQ(facts.beats, 4);
}

TEST(LickFacts, NamesRolls) {
  const auto rolls = [](const char* words) { return lick_facts(lick_score(words)).rolls; };
  EXPECT_EQ(rolls("[G] 3:0T 2:0I 5:0T 1:0M 4:0T 2:0I 5:0T 1:0M"), Texts{"alternating thumb"});
  EXPECT_EQ(rolls("[G] 2:0I 1:0M 5:0T 2:0I 1:0M 5:0T 2:0I 1:0M"), Texts{"forward"});
  EXPECT_EQ(rolls("[G] 3:0T 2:0I 1:0M 5:0T 1:0M 2:0I 3:0T 1:0M"), Texts{"forward-backward"});
  EXPECT_EQ(rolls("[G] 1:0M 2:0I 5:0T 1:0M 2:0I 5:0T 1:0M 2:0I").front(), "backward");
  // One string all the way is no roll.
  EXPECT_EQ(rolls("[G] 3:0T 3:2.2I 3:4.4T 3:2.2I 3:0T 3:2.2I 3:4.4T 3:2.2I"), Texts{});
}

// By fingers and changing strings: over C and D the drone is often left out.
TEST(LickFacts, NamesRollsWithoutTheDrone) {
  const auto rolls = [](const char* words) { return lick_facts(lick_score(words)).rolls; };
  EXPECT_EQ(rolls("[D7] 4:0T 3:2.2I 1:0M 4:0T 3:2.2I 1:0M 4:0T 3:2.2I"), Texts{"forward"});
  EXPECT_EQ(rolls("[C] 1:2.3M 2:1.1I 4:2.2T 1:2.3M 2:1.1I 4:2.2T 1:2.3M 2:1.1I"), Texts{"backward"});
  EXPECT_EQ(rolls("[D7] 1:0M 2:1.1I 3:2.2T 1:0M 2:1.1I 3:2.2T 1:0M 2:1.1I"), Texts{"backward"});
  EXPECT_EQ(rolls("[C] 3:0T 2:1.1I 1:2.3M 4:2.2T 1:2.3M 2:1.1I 4:2.2T 1:2.3M"), Texts{"forward-backward"});
  EXPECT_EQ(rolls("[D7] 3:2.2T 2:1.1I 4:0T 1:0M 3:2.2T 2:1.1I 4:0T 1:0M"), Texts{"alternating thumb"});
}

TEST(LickFacts, NamesARollOverTwoMeasures) {
  LickKind two;
  two.meter = {{2}, 4, Meter::Symbol::numbers};
  EXPECT_EQ(lick_facts(lick_score("[G] 3:0T 2:0I 1:0M 5:0T | 1:0M 2:0I 3:0T 1:0M", two)).rolls,
            Texts{"forward-backward"});
}

// The thumb picks the note that slides on.
TEST(LickFacts, AGraceNoteIsPickedInItsRoll) {
  LickKind two;
  two.meter = {{2}, 4, Meter::Symbol::numbers};
  EXPECT_EQ(lick_facts(lick_score("[G] (3:2.2T s3:3.2 2:0I 5:0T 1:0M", two)).rolls,
            Texts{"alternating thumb"});
}

// Tones of a chord go round on the strings, whatever steps there are between two of them.
TEST(LickFacts, BrokenChordsAreRolls) {
  EXPECT_EQ(lick_facts(lick_score("[D7] 4:0T 2:1.1I 1:0M 3:2.2T 2:1.1I 1:0M 4:4.4T 3:2.2I")).style,
            Style::roll);
  EXPECT_EQ(lick_facts(lick_score("[G] 2:8.2I 1:9.3M 5:0T 2:8.2I 1:9.3M 5:0T 2:8.2I 1:9.3M")).style,
            Style::roll);
}

TEST(LickFacts, TheNailMakesClawhammer) {
  EXPECT_EQ(lick_facts(lick_score("[G] 3:0N*2 1:0N 5:0T 4:0N*2 1:0N 5:0T")).style, Style::clawhammer);
}

// A scale laid across the strings; one on neighboring frets, thumb and index in turn.
TEST(LickFacts, LinesAreNoRolls) {
  const LickFacts across = lick_facts(lick_score("[G] 3:0T 4:7.4I 2:0T 3:5.2I 1:0M 2:5.2I 5:0T 1:4.1M"));
  EXPECT_EQ(across.style, Style::melodic);
  EXPECT_EQ(across.rolls, Texts{});
  const LickFacts along =
      lick_facts(lick_score("[G] 3:5.1T 3:7.3I 2:5.1T 2:6.2I 2:8.4T 2:6.2I 2:5.1T 3:7.3I"));
  EXPECT_EQ(along.style, Style::single_string);
}

// The chord at the end takes three fingers, the line before it two; the thumb alone makes no line.
TEST(LickFacts, ALineIsOfThumbAndIndexInTurn) {
  EXPECT_EQ(lick_facts(lick_score("[G] 3:7.3T 3:5.1I 3:4.1T 3:5.2I 4:7.4T 4:5.2I 4:4.1T 4:7.4I | "
                                  "4:5.3T*4 4:5.3T+3:4.2I+1:5.4M*4"))
                .style,
            Style::single_string);
  EXPECT_EQ(lick_facts(lick_score("[G] 4:0T*2 4:2.1T*2 4:4.4T*2 | 3:0T*8")).style, Style::roll);
}

TEST(LickFacts, NamesShapesThatAreHeld) {
  // The D shape at the seventh fret: middle 7, ring... as src/hands/shapes.cpp has it.
  const LickFacts facts = lick_facts(lick_score("[G] 3:7.1T 2:8.2I 5:0T 1:9.4M 3:7.1T 2:8.2I 5:0T 1:9.4M"));
  EXPECT_EQ(facts.shapes, Texts{"G (D shape, 7)"});
}

TEST(LickFacts, WhatIsMissingIsFound) {
  Score bare = lick_score(in_g);
  for (Measure& measure : bare.measures) {
    for (Stroke& stroke : measure.strokes) {
      for (Note& note : stroke.notes) {
        note.placement.reset();
        note.finger.reset();
        note.picking_finger.reset();
      }
    }
  }
  const Score before = bare;
  const LickFacts facts = lick_facts(bare);
  EXPECT_EQ(bare, before);  // facts are said, not written
  EXPECT_EQ(to_string(facts.key), "G major");
  EXPECT_FALSE(facts.strings.empty());
  EXPECT_EQ(facts.beats, 8);
}

// A capo on the second fret: the same lick in A.
TEST(LickFacts, ACapoMovesKeyAndChordsAlone) {
  const Score plain = lick_score(in_g);
  Score moved = plain;
  fifthpeg::SetUp wanted;
  wanted.capo = 2;
  wanted.music_moves_along = true;
  set_up(moved, wanted);
  const LickFacts one = lick_facts(plain);
  const LickFacts other = lick_facts(moved);
  EXPECT_EQ(to_string(other.key), "A major");
  EXPECT_EQ(to_string(other.from), "A");
  EXPECT_EQ(to_string(other.to), "A");
  EXPECT_EQ(other.capo, 2);
  EXPECT_EQ(other.beats, one.beats);
  EXPECT_EQ(other.frets->lowest, one.frets->lowest);
  EXPECT_EQ(other.frets->highest, one.frets->highest);
  EXPECT_EQ(other.strings, one.strings);
  EXPECT_EQ(other.techniques, one.techniques);
  EXPECT_EQ(other.rolls, one.rolls);
  EXPECT_EQ(other.style, one.style);
  EXPECT_EQ(other.difficulty.level, one.difficulty.level);
  EXPECT_EQ(other.difficulty.effort, one.difficulty.effort);
  EXPECT_EQ(other.difficulty.reasons, one.difficulty.reasons);
  EXPECT_EQ(other.difficulty.ladder, one.difficulty.ladder);
  ASSERT_EQ(other.uses.size(), one.uses.size());
  for (std::size_t i = 0; i < one.uses.size(); ++i) EXPECT_EQ(other.uses[i].use, one.uses[i].use);
}

// Closed positions two frets higher: key, chords and frets move, and what it is for stays.
TEST(LickFacts, MovedUpTheNeckItDoesTheSame) {
  const char* const low = "[G] 3:5.1T 2:5.1I 1:5.1M 3:7.3T 2:5.1I 1:5.1M 3:5.1T*2 | [C] 2:5.1I*8";
  const char* const high = "[A] 3:7.1T 2:7.1I 1:7.1M 3:9.3T 2:7.1I 1:7.1M 3:7.1T*2 | [D] 2:7.1I*8";
  LickKind in_a;
  in_a.key = {3, Mode::major};
  const LickFacts one = lick_facts(lick_score(low));
  const LickFacts other = lick_facts(lick_score(high, in_a));
  EXPECT_EQ(half_steps_between(one.key, other.key), 2);
  EXPECT_EQ(other.frets->lowest, one.frets->lowest + 2);
  EXPECT_EQ(other.frets->highest, one.frets->highest + 2);
  EXPECT_EQ(other.beats, one.beats);
  EXPECT_EQ(other.strings, one.strings);
  EXPECT_EQ(other.rolls, one.rolls);
  EXPECT_EQ(other.lands, one.lands);
  EXPECT_GE(other.difficulty.effort, one.difficulty.effort);
  ASSERT_EQ(other.uses.size(), one.uses.size());
  for (std::size_t i = 0; i < one.uses.size(); ++i) EXPECT_EQ(other.uses[i].use, one.uses[i].use);
}

// Between two chords of a key that somebody wrote down.
TEST(LickFacts, ASignatureWithAccidentalsIsBelieved) {
  EXPECT_EQ(
      to_string(
          lick_facts(lick_score("[C] 3:0T 2:1.1I 5:0T 1:2.3M 3:0T 2:1.1I 5:0T 1:2.3M | [D7] 4:0T*8")).key),
      "G major");
}

// B flat to F under the three sharps of another piece.
TEST(LickFacts, ASignatureThatTheNotesContradictIsNot) {
  LickKind in_a;
  in_a.key = {3, Mode::major};
  const char* const to_f = "[Bb] 3:3.2T 2:3.3I 1:3.4M 3:3.2T 2:3.3I 1:3.4M 2:1.1I 3:2.2T | [F] 4:3.3T*8";
  EXPECT_EQ(to_string(lick_facts(lick_score(to_f, in_a)).key), "F major");
  // Two blue notes contradict nothing.
  EXPECT_EQ(
      to_string(
          lick_facts(lick_score("[C] 3:3.2T 2:1.1I 5:0T 1:2.3M 3:3.2T 2:1.1I 5:0T 1:2.3M | [D] 4:0T*8")).key),
      "G major");
}

// A finger touches the string at the twelfth fret, and stops nothing.
TEST(LickFacts, AChimeIsNoFret) {
  Score score = lick_score("[G] 3:0T*4 1:12M*4");
  score.measures[0].strokes[1].notes[0].harmonic = true;
  EXPECT_FALSE(lick_facts(score).frets);
}

std::string code_of(const Score& score) {
  try {
    lick_facts(score);
  } catch (const Error& error) {
    return error.code();
  }
  return {};
}

TEST(LickFacts, RefusesWhatIsNoLick) {
  EXPECT_EQ(code_of(lick_score("-*8")), "no-notes");
  EXPECT_EQ(code_of(Score{}), "no-notes");
  std::string longer = "3:0*8";
  for (std::size_t m = 1; m < longest_lick; ++m) longer += " | 3:0*8";
  EXPECT_EQ(code_of(lick_score(longer)), "");
  EXPECT_EQ(code_of(lick_score(longer + " | 3:0*8")), "too-long-for-a-lick");
}

TEST(LickFacts, OneNoteIsALick) {
  const LickFacts facts = lick_facts(lick_score("- - - - | 3:0T*8"));
  EXPECT_FALSE(facts.lands);
  EXPECT_EQ(facts.beats, 4);
  EXPECT_FALSE(facts.uses.empty());
  EXPECT_FALSE(facts.frets);
}

// D and the E above it are both on the fourth string alone.
TEST(LickFacts, UnplayableIsSaid) {
  Score score = lick_score("3:0*4 4:0*4");
  Stroke& stroke = score.measures[0].strokes[1];
  stroke.notes.insert(stroke.notes.begin(), Note{});
  stroke.notes[0].pitch = {Step::E, 0, 3};
  EXPECT_THROW(lick_facts(score), UnplayableError);
}

// A lick that begins over the tonic of its signature stands in that key, wherever it leads.
TEST(LickFacts, TheSignatureSaysTheKeyOfALickThatBeginsOverItsTonic) {
  EXPECT_EQ(to_string(lick_facts(lick_score("[G] 3:0T 2:0I 5:0T 1:0M 3:0T 2:0I 5:0T 1:0M | "
                                            "[D] 4:0T 3:2.1I 2:3.2M 1:4.4M 4:0T*4"))
                          .key),
            "G major");
}

}  // namespace
}  // namespace fifthpeg
