// Which octave a piece is played in where nothing says so.
#include <algorithm>
#include <gtest/gtest.h>
#include <string>
#include <string_view>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/hands.hpp"
#include "hands/scores.hpp"

namespace fifthpeg {
namespace {

using testing::passage;

// As a fiddle plays it: an octave down it lies in the first four frets.
constexpr std::string_view fiddle_tune =
    "D5 E5 F#5 G5 A5 G5 F#5 E5 D5 B4 A4 G4 F#4 E4 D4 E4 F#4 G4 A4 B4 C#5 D5 E5 D5 C#5 B4 A4 G4 F#4 E4 D4 D4 "
    "D5 E5 F#5 G5 A5 G5 F#5 E5 D5 B4 A4 G4 F#4 E4 D4 E4 F#4 G4 A4 B4 C#5 D5 E5 D5 C#5 B4 A4 G4 F#4 E4 D4 D4";

std::string entry(const Report& report, std::string_view slug) {
  const auto& entries = report.entries();
  const auto found =
      std::find_if(entries.begin(), entries.end(), [slug](const Entry& one) { return one.slug == slug; });
  return found == entries.end() ? "" : to_text(*found);
}

TEST(Octave, AFiddleTuneMovesDownToTheLowFrets) {
  Score score = passage(fiddle_tune);
  const FingeringResult result = finger(score);
  EXPECT_EQ(result.half_steps, -12);
  EXPECT_EQ(to_string(score.measures[0].strokes[0].notes[0].pitch), "D4");
  EXPECT_EQ(entry(result.report, "moved-by-octaves"),
            "decided: the piece is moved down an octave, where it is easiest to play");
}

// Two octaves fit; note by note both promise much the same, and together one costs much less.
TEST(Octave, EveryOctaveThatMayBeEasiestIsTried) {
  const std::string_view tune =
      "D5 E5 F#5 A5 A5 B5 A5 F#5 D5 E5 F#5 F#5 E5 D5 E5 D5 E5 F#5 A5 A5 B5 A5 F#5 D5 E5 F#5 F#5 E5 E5 D5";
  HandsOptions options;
  options.style = Style::clawhammer;
  Score chosen = passage(tune, {1, 4});
  chosen.banjo.tuning = *parse_tuning("double-c");
  chosen.banjo.capo = 2;
  chosen.banjo.fifth_capo = 7;
  std::int64_t least = INT64_MAX;
  for (const int octaves : {0, -12, -24}) {
    Score there = chosen;
    options.transpose = octaves;
    least = std::min(least, finger(there, options).cost);
  }
  options.transpose.reset();
  EXPECT_LE(4 * finger(chosen, options).cost, 5 * least);  // it is not moved for less than a fifth
}

TEST(Octave, AZeroKeepsItAsItIsWritten) {
  Score score = passage(fiddle_tune);
  HandsOptions options;
  options.transpose = 0;
  EXPECT_EQ(finger(score, options).half_steps, 0);
  EXPECT_EQ(to_string(score.measures[0].strokes[0].notes[0].pitch), "D5");
}

TEST(Octave, WhatLiesLowStaysWhereItIsWritten) {
  Score score = passage("G3 A3 B3 C4 D4 B3 A3 G3 E3 F#3 G3 A3 B3 A3 G3 G3");
  const FingeringResult result = finger(score);
  EXPECT_EQ(result.half_steps, 0);
  EXPECT_EQ(entry(result.report, "moved-by-octaves"), "");
}

TEST(Octave, TabStaysWhereItIs) {
  Score score = passage(fiddle_tune);
  score.measures[0].strokes[0].notes[0].placement = Placement{1, 12};
  EXPECT_EQ(finger(score).half_steps, 0);
}

TEST(Octave, TheNearestOctaveIsTakenWhereNoEasierOneIsAskedFor) {
  Score score = passage(fiddle_tune);
  HandsOptions options;
  options.easiest_octave = false;
  EXPECT_EQ(finger(score, options).half_steps, 0);
}

// One low C4 of sixty-four notes would be C3, a note below open G's lowest string.
std::string with_a_low_note() {
  std::string words(fiddle_tune);
  words.replace(words.rfind("D4"), 2, "C4");
  return words;
}

TEST(Octave, TheNoteThatHoldsAPieceBackIsNamedWithTheTuningThatHasIt) {
  Score score = passage(with_a_low_note());
  const FingeringResult result = finger(score);
  EXPECT_EQ(result.half_steps, 0);
  EXPECT_EQ(
      entry(result.report, "octave-held-back"),
      "decided: C4 in measure 8 keeps the piece an octave higher than it plays most easily; C tuning has it");
}

TEST(Octave, OfManyNotesThatHoldAPieceBackAFewAreNamed) {
  std::string words;
  for (int times = 0; times < 3; ++times) words += (times == 0 ? "" : " ") + std::string(fiddle_tune);
  for (int times = 0; times < 4; ++times) words.replace(words.rfind("D4"), 2, "C4");
  Score score = passage(words);
  const std::string said = entry(finger(score).report, "octave-held-back");
  EXPECT_EQ(said,
            "decided: 4 notes, such as C4 in measure 20, C4 in measure 22 and C4 in measure 24, keep the "
            "piece an octave "
            "higher than it "
            "plays most easily; C tuning has them");
}

TEST(Octave, FoldingLetsAFewNotesLeaveTheOctave) {
  Score score = passage(with_a_low_note());
  HandsOptions options;
  options.fold = true;
  const FingeringResult result = finger(score, options);
  EXPECT_EQ(result.half_steps, -12);
  EXPECT_EQ(to_string(score.measures[7].strokes.back().notes[0].pitch), "C4");
  EXPECT_EQ(entry(result.report, "note-folded"),
            "decided: C4 is played an octave higher than the rest (measure 8, beat 4.5)");
  EXPECT_TRUE(flaws(score).empty());
}

TEST(Octave, MoreThanAFewNotesAreNotFolded) {
  std::string words = with_a_low_note();
  for (int more = 0; more < 3; ++more) words.replace(words.find("D4"), 2, "C4");
  Score score = passage(words);
  HandsOptions options;
  options.fold = true;
  EXPECT_EQ(finger(score, options).half_steps, 0);
}

// An octave down, D3 and E3 would both be on the fourth string.
TEST(Octave, AnOctaveInWhichAChordCannotBeHeldIsNoChoice) {
  Score score = passage("D5 E5 F#5 G5 A5 G5 F#5 E5 D5 E5 F#5 G5 F#5 E5 D5 D4+E4");
  EXPECT_EQ(finger(score).half_steps, 0);
}

}  // namespace
}  // namespace fifthpeg
