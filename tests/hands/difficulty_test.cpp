// How hard licks are. Levels as teachers would sort them, from memory; tempos from the model's own figures.
#include <algorithm>
#include <gtest/gtest.h>
#include <string>
#include <string_view>

#include "fifthpeg/hands.hpp"
#include "hands/costs.hpp"
#include "hands/demands.hpp"
#include "hands/learner.hpp"
#include "licks/lick_text.hpp"

namespace fifthpeg {
namespace {

using testing::lick_score;
using testing::LickKind;

int level_of(const char* words, const LickKind& kind = {}) {
  return difficulty(lick_score(words, kind)).level;
}

bool gives_reason(const Difficulty& found, std::string_view words) {
  return std::any_of(found.reasons.begin(), found.reasons.end(),
                     [&](const std::string& reason) { return reason.find(words) != std::string::npos; });
}

const char* const open_roll = "3:0T 2:0I 5:0T 1:0M 4:0T 2:0I 5:0T 1:0M";

TEST(DifficultyLevels, AsTeachersSortThem) {
  EXPECT_EQ(level_of(open_roll), 1);
  EXPECT_EQ(level_of("3:2.2T s3:3.2 2:0I 1:0M 5:0T 4:0T h4:2.2 3:0T"), 2);
  // Up the neck in one shape.
  EXPECT_EQ(level_of("3:7.1T 2:8.2I 5:0T 1:9.4M 3:7.1T 2:8.2I 5:0T 1:9.4M"), 3);
  // From the first frets to the twelfth with a slide.
  EXPECT_GE(level_of("3:2.2T s3:3.2 2:0I 1:0M 5:0T 2:12.1I 1:12.1M 3:12.1T"), 4);
  // Sixteenths at that, with shifts there and back.
  LickKind sixteenths;
  sixteenths.each = Fraction(1, 16);
  EXPECT_EQ(level_of("3:2.2T s3:4.2 2:3.1I p2:0 5:0T 2:12.1I 1:15.4M p1:12.1 1:5.1M 2:5.1I 3:2.1T 2:3.2I",
                     sixteenths),
            5);
}

double effort_of(const char* words) {
  return difficulty(lick_score(words)).effort;
}

// Fingers that stay down weigh, though nothing moves: beginners roll over open strings first.
TEST(DifficultyLevels, AHeldChordIsHarderThanOpenStrings) {
  const char* const held = "4:2.2T 2:1.1I 1:2.3M 5:0T 2:1.1I 1:2.3M 5:0T 1:2.3M";
  EXPECT_EQ(level_of(held), 2);
  EXPECT_TRUE(gives_reason(difficulty(lick_score(held)), "6 stopped strokes on 3 strings"));
  // A finger now and then does not.
  EXPECT_EQ(level_of("3:0T 2:0I 5:0T 1:0M 3:2.2T 2:1.1I 5:0T 1:0M"), 1);
}

// Two measures of it are enough: the third asks nothing new.
TEST(DifficultyLevels, MoreOfAChordIsNoHarderForEver) {
  const std::string held = "4:2.2T 2:1.1I 1:2.3M 4:2.2T 2:1.1I 1:2.3M 4:2.2T 2:1.1I";
  const double two = effort_of((held + " | " + held).c_str());
  EXPECT_GT(two, effort_of(held.c_str()));
  EXPECT_EQ(effort_of((held + " | " + held + " | " + held).c_str()), two);
}

// The same frets, laid across four strings or along one.
TEST(DifficultyLevels, AScaleAcrossStringsIsHarderThanAlongOne) {
  EXPECT_GT(effort_of("4:5.4T 3:4.3I 2:3.2T 1:2.1I 4:5.4T 3:4.3I 2:3.2T 1:2.1I"),
            effort_of("3:5.4T 3:4.3I 3:3.2T 3:2.1I 3:5.4T 3:4.3I 3:3.2T 3:2.1I"));
}

// Teachers of clawhammer leave the dropped thumb for later; in a roll the thumb picks any string.
TEST(DifficultyLevels, ADroppedThumbIsHarder) {
  const char* const dropped = "3:0N h3:2.2 1:0N 2:0T 3:0N h3:2.2 1:0N 5:0T";
  EXPECT_EQ(level_of("3:0N h3:2.2 1:0N 5:0T 3:0N h3:2.2 1:0N 5:0T"), 2);
  EXPECT_EQ(level_of(dropped), 3);
  EXPECT_TRUE(gives_reason(difficulty(lick_score(dropped)), "the thumb dropped to a long string 1 time"));
  EXPECT_EQ(hands::demands_of(lick_score(open_roll)).dropped_thumbs, 0U);
}

// A note that is tied on is not stopped again.
TEST(DifficultyReasons, TiedNotesAreStoppedOnce) {
  Score tied = lick_score("3:2.2T*8 | 3:2.2*8");
  tied.measures[0].strokes[0].notes[0].tied_to_next = true;
  tied.measures[1].strokes[0].notes[0].tied_from_previous = true;
  EXPECT_EQ(hands::demands_of(tied).stopped_strokes, 1U);
}

TEST(DifficultyReasons, AreInWords) {
  const Difficulty plain = difficulty(lick_score(open_roll));
  // Eighths: two a beat, a beat is 0.6 s.
  EXPECT_EQ(plain.reasons, std::vector<std::string>{"3.3 strokes a second at 100 beats a minute"});
  EXPECT_EQ(plain.caution, "");

  const Difficulty slurred = difficulty(lick_score("3:2.2T s3:3.2 2:0I 1:0M 5:0T 4:0T h4:2.2 3:0T"));
  EXPECT_TRUE(gives_reason(slurred, "1 hammer-on, 1 slide"));

  // From the fifth fret at most to the twelfth: the hand, which reaches over four frets, goes from 3 to 8.
  const Difficulty shifted = difficulty(lick_score("3:3.1T 2:0I 5:0T 1:0M 3:12.1T 2:12.1I 5:0T 1:12.1M"));
  EXPECT_TRUE(gives_reason(shifted, "a shift of 5 frets"));
  EXPECT_TRUE(gives_reason(shifted, "up the neck to fret 12"));

  // L (2^(-1/12) - 2^(-5/12)) of 667 mm.
  const Difficulty stretched = difficulty(lick_score("4:1.1T+1:5.4M*4 3:0T*4"));
  EXPECT_TRUE(gives_reason(stretched, "a stretch of 130 mm, from fret 1 to fret 5"));
  EXPECT_TRUE(gives_reason(stretched, "2 strings stopped at once"));
  EXPECT_NE(stretched.caution.find("130 mm"), std::string::npos);
  EXPECT_NE(stretched.caution.find("teacher"), std::string::npos);

  const Difficulty syncopated = difficulty(lick_score("3:0T 2:0I*2 1:0M*2 2:0I*2 3:0T"));
  EXPECT_TRUE(gives_reason(syncopated, "3 notes off the beat"));
}

// Every stroke on its own place in the meter: nothing is syncopated.
TEST(DifficultyReasons, RollsAreNotSyncopated) {
  EXPECT_EQ(hands::demands_of(lick_score(open_roll)).syncopations, 0U);
  LickKind jig;
  jig.meter = {{6}, 8, Meter::Symbol::numbers};
  EXPECT_EQ(hands::demands_of(lick_score("3:0T 2:0I 1:0M 3:0T*2 1:0M", jig)).syncopations, 0U);
  EXPECT_EQ(hands::demands_of(lick_score("3:0T 2:0I 1:0M*2 3:0T 1:0M", jig)).syncopations, 1U);
}

TEST(DifficultyTempos, AreALadder) {
  for (const char* const words :
       {open_roll, "3:0T*2 2:0I*2 1:0M*2 3:0T*2", "3:2.2T s3:3.2 2:0I 1:0M 5:0T 4:0T h4:2.2 3:0T",
        "3:3.1T 3:12.1T 3:3.1T 3:12.1T"}) {
    const Difficulty found = difficulty(lick_score(words));
    EXPECT_LE(found.start, found.goal);
    ASSERT_FALSE(found.ladder.empty());
    EXPECT_EQ(found.ladder.front(), found.start);
    EXPECT_EQ(found.ladder.back(), found.goal);
    for (std::size_t i = 1; i < found.ladder.size(); ++i) {
      EXPECT_GT(found.ladder[i], found.ladder[i - 1]);
      EXPECT_LE(found.ladder[i], found.ladder[i - 1] * 1.2);
    }
  }
}

// One finger that picks every eighth again manages 60 / 0.26 a minute, in quarters half of that.
TEST(DifficultyTempos, APickingFingerThatRepeatsLimitsThem) {
  EXPECT_NEAR(hands::learners_tempo({1, 8}, {1, 4}), 115.4, 0.1);
  const Difficulty found = difficulty(lick_score("3:0T 3:0T 3:0T 3:0T 3:0T 3:0T 3:0T 3:0T"));
  EXPECT_EQ(found.goal, 114);
}

// A shift takes 80 ms and 15 ms a fret, and a learner wants twice that.
TEST(DifficultyTempos, AShiftLimitsThem) {
  const Difficulty found = difficulty(lick_score("3:1.1T 2:17.1I"));  // from fret 1 to 13: 12 frets
  EXPECT_EQ(found.goal, 56);  // half a beat of 520 ms is 57.7 a minute
}

TEST(DifficultyTempos, TheMarkedTempoPlaysNoPart) {
  LickKind fast;
  fast.tempo = 200;
  const Difficulty one = difficulty(lick_score(open_roll));
  const Difficulty other = difficulty(lick_score(open_roll, fast));
  EXPECT_EQ(one.effort, other.effort);
  EXPECT_EQ(one.ladder, other.ladder);
}

TEST(Difficulty, FindsWhatIsMissing) {
  const Difficulty found = difficulty(lick_score("3:0 2:0 5:0 1:0 4:0 2:0 5:0 1:0"));
  EXPECT_EQ(found.level, 1);
}

TEST(Difficulty, OfSilenceIsTheLeast) {
  EXPECT_EQ(difficulty(Score{}).level, 1);
  EXPECT_EQ(difficulty(lick_score("-*8")).effort, 0.0);
}

}  // namespace
}  // namespace fifthpeg
