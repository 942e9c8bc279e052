// What a banjo has of the notes of a score, and what is said where it has not.
#include <gtest/gtest.h>
#include <string>

#include "fifthpeg/banjo.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/score.hpp"
#include "hands/scores.hpp"

namespace fifthpeg {
namespace {

using testing::passage;

// "measure 1, beat 2: C2 lies below the lowest string, D3 [note-out-of-range 12]": the last is the move that
// helps.
std::string refused(const Score& score, std::optional<int> half_steps) {
  try {
    require_places(score, half_steps);
  } catch (const UnplayableError& error) {
    EXPECT_TRUE(error.data().pitch);
    const auto move = error.data().half_steps;
    return to_string(error.place()) + ": " + error.what() + " [" + error.code() +
           (move ? " " + std::to_string(*move) : "") + "]";
  }
  return "";
}

TEST(Range, Span) {
  EXPECT_FALSE(span_of(Score{}));
  Score score = passage("G3 B3 D5 E2");
  EXPECT_EQ(to_string(span_of(score)->lowest), "E2");
  EXPECT_EQ(to_string(span_of(score)->highest), "D5");
  EXPECT_EQ(span_of(score)->half_steps(), 34);
  score.measures[0].strokes[3].notes[0].dead = true;
  EXPECT_EQ(to_string(span_of(score)->lowest), "G3");
}

TEST(Range, HasPlace) {
  const Banjo banjo;  // D3 to C6
  Note note;
  const auto has = [&](std::string_view pitch, int half_steps = 0) {
    note.pitch = parse_pitch(pitch).value();
    return has_place(banjo, string_sound(note, half_steps));
  };
  EXPECT_TRUE(has("D3") && has("C6") && has("C3", 2) && has("D6", -2));
  EXPECT_FALSE(has("C#3") || has("C#6") || has("D3", -1) || has("C6", 1));
  note.choke = Choke{};
  EXPECT_FALSE(has("D3"));
  EXPECT_TRUE(has("D#3") && has("G3"));  // G3 is the open third string, and the fourth at fret 5
  note.choke.reset();
  note.harmonic = true;
  EXPECT_TRUE(has("D6"));  // two octaves above the first string
  EXPECT_FALSE(has("C#6"));
  note.dead = true;
  EXPECT_TRUE(has("C1"));
}

TEST(Range, WhatHasAPlaceIsNotRefused) {
  EXPECT_EQ(refused(Score{}, std::nullopt), "");
  EXPECT_EQ(refused(passage("D3 G3 C6"), 0), "");
  EXPECT_EQ(refused(passage("D2 G2 C5"), std::nullopt), "");
  EXPECT_EQ(refused(passage("D1 G1 C4"), 24), "");
}

// The note is the file's, where it stands; the move that was tried; a move that works.
TEST(Range, TheNoteOfTheFileIsNamed) {
  const Score score = passage("D3 G3 B3 E4");
  EXPECT_EQ(refused(score, 24),
            "measure 1, beat 2.5: E4 lies above the last fret, C6, when moved up 2 octaves to E6 "
            "[note-out-of-range 0]");
  EXPECT_EQ(refused(score, -3),
            "measure 1, beat 1: D3 lies below the lowest string, D3, when moved down 3 half steps to B2 "
            "[note-out-of-range 0]");
  EXPECT_EQ(refused(passage("D3 G3 B2 E4"), 0),
            "measure 1, beat 2: B2 lies below the lowest string, D3 [note-out-of-range 3]");
}

// By octaves it does not fit, by less it does.
TEST(Range, ByOctavesNothingFits) {
  EXPECT_EQ(refused(passage("E3 G3 D4 D6"), std::nullopt),
            "measure 1, beat 2.5: D6 lies above the last fret, C6 [note-out-of-range -2]");
  EXPECT_EQ(refused(passage("E1 G1 B1 D4"), std::nullopt),
            "measure 1, beat 2.5: D4 lies above the last fret, C6, when moved up 2 octaves to D6 "
            "[note-out-of-range 22]");
}

TEST(Range, ATuneThatSpansMoreThanTheNeck) {
  EXPECT_EQ(refused(passage("E1 G1 B1 E4"), std::nullopt),
            "measure 1, beat 2.5: E4 lies above the last fret, C6, when moved up 2 octaves to E6; the "
            "notes span 36 half steps (E1 to E4), and the banjo as it is set up has 34 half steps (D3 to C6) "
            "[notes-span-too-wide]");
  EXPECT_EQ(refused(passage("C2 G3 G6"), 0),
            "measure 1, beat 1: C2 lies below the lowest string, D3; the notes span 55 half steps (C2 to "
            "G6), and the banjo as it is set up has 34 half steps (D3 to C6) [notes-span-too-wide]");
}

// As many half steps as there are, but the lowest cannot be the open string.
TEST(Range, NoMoveFits) {
  Score score = passage("D3 C6");
  score.measures[0].strokes[0].notes[0].choke = Choke{};
  EXPECT_EQ(refused(score, 0),
            "measure 1, beat 1: D3 has no place on the banjo as it is set up; no move brings every note in; "
            "the banjo as it is set up has 34 half steps (D3 to C6) [no-move-fits]");
}

}  // namespace
}  // namespace fifthpeg
