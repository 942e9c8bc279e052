// How alike licks are: what is the same, and what is nearer than what. Expectations are common practice.
#include <gtest/gtest.h>
#include <random>
#include <string>
#include <vector>

#include "fifthpeg/licks.hpp"
#include "licks/form.hpp"
#include "licks/lick_text.hpp"

namespace fifthpeg {
namespace {

using testing::lick_score;

// A forward roll and a reverse one over G, and what one might do to it.
constexpr const char* rolled = "3:0 2:0 5:0 1:0 2:0 5:0 1:0 3:0";
constexpr const char* one_note_changed = "3:0 2:0 5:0 1:0 2:1 5:0 1:0 3:0";
constexpr const char* two_notes_changed = "3:0 2:1 5:0 1:0 2:1 5:0 1:2 3:0";
// The same picking over C.
constexpr const char* rolled_in_c = "4:2 2:1 5:0 1:2 2:1 5:0 1:2 4:2";
// Another lick: down the scale in long notes.
constexpr const char* descent = "1:5*2 1:4*2 1:2*2 1:0*2";

double alike(const std::string& one, const std::string& other) {
  return likeness(lick_score(one), lick_score(other));
}

TEST(Likeness, TheSameLickIsOne) {
  EXPECT_EQ(alike(rolled, rolled), 1);
  EXPECT_EQ(alike(descent, descent), 1);
}

TEST(Likeness, ACapoMakesNoOtherLick) {
  for (const int capo : {1, 2, 4, 7})
    EXPECT_EQ(likeness(lick_score(rolled), lick_score(rolled, {.capo = capo})), 1) << capo;
}

TEST(Likeness, AnotherKeyMakesNoOtherLick) {
  for (const int half_steps : {-3, 1, 2, 5, 7}) {
    Score moved = lick_score(rolled);
    transpose(moved, half_steps);
    EXPECT_EQ(likeness(lick_score(rolled), moved), 1) << half_steps;
    // However it is fingered there.
    finger(moved);
    EXPECT_EQ(likeness(lick_score(rolled), moved), 1) << half_steps;
  }
}

TEST(Likeness, OtherStringsForTheSameNotesMakeNoOtherLick) {
  EXPECT_EQ(alike("2:0 1:0 2:0 1:0", "3:4 2:3 3:4 2:3"), 1);
}

TEST(Likeness, ANoteThatIsChangedMakesLessThanAnotherLick) {
  const double one = alike(rolled, one_note_changed);
  const double two = alike(rolled, two_notes_changed);
  const double other = alike(rolled, descent);
  EXPECT_LT(one, 1);
  EXPECT_LT(two, one);
  EXPECT_LT(other, two);
  EXPECT_GT(one, 0.85);
  EXPECT_LT(other, 0.5);
}

TEST(Likeness, ARollOverAnotherChordIsNearerThanAnotherLick) {
  EXPECT_LT(alike(rolled, descent), alike(rolled, rolled_in_c));
  EXPECT_LT(alike(rolled, rolled_in_c), alike(rolled, one_note_changed));
}

TEST(Likeness, TheSameNotesInAnotherOrderAreAnotherLick) {
  EXPECT_LT(alike(rolled, "1:0 5:0 3:0 2:0 1:0 3:0 5:0 2:0"), alike(rolled, one_note_changed));
}

TEST(Likeness, WhatIsHeldLongerIsTheSame) {
  // On a banjo notes ring on until their strings are needed again.
  EXPECT_EQ(alike("3:0 - 2:0 - 1:0*4", "3:0*2 2:0*2 1:0 - - -"), 1);
}

TEST(Likeness, WhatComesLaterIsLessAlike) {
  EXPECT_LT(alike("3:0*2 2:0*2 1:0*4", "3:0*2 2:0*3 1:0*3"), 1);
  EXPECT_LT(alike("3:0*2 2:0*2 1:0*4", "3:0*2 2:0*4 1:0*2"), alike("3:0*2 2:0*2 1:0*4", "3:0*2 2:0*3 1:0*3"));
}

TEST(Likeness, ANoteMoreIsNearerThanAnotherLick) {
  const double more = alike("3:0*2 2:0 5:0 1:0*4", "3:0 4:2 2:0 5:0 1:0*4");
  EXPECT_LT(more, 1);
  EXPECT_GT(more, 0.8);
}

TEST(Likeness, APickupMayBeWrittenAsRests) {
  EXPECT_EQ(alike("4:2 4:4 | 3:0*8", "- - - - - - 4:2 4:4 | 3:0*8"), 1);
  EXPECT_EQ(alike("-*8 | 4:2 4:4 3:0*6", "4:2 4:4 3:0*6"), 1);
}

TEST(Likeness, AnotherBeatIsNotQuiteTheSameAndOffTheBeatIsLess) {
  const std::string on_one = "4:2 4:4 3:0 2:0 -*4";
  const double on_two = alike(on_one, "-*2 4:2 4:4 3:0 2:0 -*2");
  const double off_the_beat = alike(on_one, "- 4:2 4:4 3:0 2:0 -*3");
  EXPECT_LT(on_two, 1);
  EXPECT_LT(off_the_beat, on_two);
  EXPECT_GT(off_the_beat, 0.8);
}

TEST(Likeness, ASlideIsNotTwoStrokes) {
  Score slid = lick_score("3:2 3:4 2:0*6");
  auto& strokes = slid.measures[0].strokes;
  strokes[0].notes[0].out_of = Technique::slide;
  strokes[1].notes[0].into = Technique::slide;
  Score hammered = slid;
  hammered.measures[0].strokes[0].notes[0].out_of = Technique::hammer_on;
  hammered.measures[0].strokes[1].notes[0].into = Technique::hammer_on;
  Score slurred = hammered;
  slurred.measures[0].strokes[0].notes[0].out_of = Technique::slur;
  slurred.measures[0].strokes[1].notes[0].into = Technique::slur;
  const Score plain = lick_score("3:2 3:4 2:0*6");
  EXPECT_EQ(likeness(slid, slid), 1);
  EXPECT_LT(likeness(slid, plain), 1);
  EXPECT_LT(likeness(slid, hammered), 1);
  EXPECT_EQ(likeness(hammered, slurred), 1);  // a slur on one string is nothing else
  EXPECT_GT(likeness(slid, plain), 0.9);
}

TEST(Likeness, ANoteTiedOnIsNotStruckAgain) {
  Score tied = lick_score("3:0*4 2:0*4 | 2:0*8");
  tied.measures[0].strokes.back().notes[0].tied_to_next = true;
  tied.measures[1].strokes[0].notes[0].tied_from_previous = true;
  EXPECT_EQ(likeness(tied, lick_score("3:0*4 2:0*4")), 1);
}

TEST(Likeness, RepeatsArePlayedOut) {
  Score twice = lick_score("3:0 2:0 5:0 1:0 3:0 2:0 5:0 1:0");
  twice.measures[0].repeat_starts = true;
  twice.measures[0].repeat_times = 2;
  EXPECT_EQ(likeness(twice, lick_score("3:0 2:0 5:0 1:0 3:0 2:0 5:0 1:0 | 3:0 2:0 5:0 1:0 3:0 2:0 5:0 1:0")),
            1);
  // However often: nothing that is written in a file is followed without end.
  twice.measures[0].repeat_times = 1'000'000;
  EXPECT_GE(likeness(twice, twice), 0.99);
}

TEST(Likeness, NothingIsLikeNoNotes) {
  EXPECT_EQ(alike("-*8", rolled), 0);
  EXPECT_EQ(alike("-*8", "-*8"), 1);
}

// Licks by chance: strokes of one or two notes, an eighth or a quarter long.
Score random_lick(std::mt19937& chance) {
  const auto up_to = [&](int most) { return static_cast<int>(chance() % static_cast<unsigned>(most + 1)); };
  std::string words;
  for (int left = 8; left > 0;) {
    const int length = std::min(left, 1 + up_to(1));
    left -= length;
    if (!words.empty()) words += ' ';
    const int string = 1 + up_to(3);
    words += std::to_string(string) + ":" + std::to_string(up_to(2));
    if (up_to(4) == 0) words += "+5:0";
    words += "*" + std::to_string(length);
  }
  return lick_score(words);
}

TEST(Likeness, OfAnyLicks) {
  std::mt19937 chance(5);
  std::vector<Score> licks;
  licks.reserve(61);
  for (int at = 0; at < 60; ++at) licks.push_back(random_lick(chance));
  licks.push_back(licks.front());
  transpose(licks.back(), 2);
  for (const Score& one : licks) {
    for (const Score& other : licks) {
      const double found = likeness(one, other);
      EXPECT_GE(found, 0);
      EXPECT_LE(found, 1);
      EXPECT_EQ(found, likeness(other, one));
      const bool same = licks::identity_of(licks::form_of(one)) == licks::identity_of(licks::form_of(other));
      EXPECT_EQ(found == 1, same);
    }
  }
}

TEST(Likeness, TheLongestLicksAreCompared) {
  std::mt19937 chance(7);
  std::string words;
  for (int stroke = 0; stroke < 16 * 16; ++stroke) {
    if (stroke > 0) words += stroke % 16 == 0 ? " | " : " ";
    words += std::to_string(1 + chance() % 4) + ":" + std::to_string(chance() % 5);
  }
  const Score lick = lick_score(words, {.each = {1, 16}});
  EXPECT_EQ(likeness(lick, lick), 1);
}

}  // namespace
}  // namespace fifthpeg
