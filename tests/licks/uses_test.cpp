// What a lick is for: each use has a lick that every player would call so, and a neighbor that is none.
// Common practice, from memory.
#include <algorithm>
#include <gtest/gtest.h>
#include <string>
#include <vector>

#include "fifthpeg/licks.hpp"
#include "licks/lick_text.hpp"

namespace fifthpeg {
namespace {

using testing::lick_score;
using testing::LickKind;

std::vector<LickUse> uses_of(const char* words) {
  std::vector<LickUse> uses;
  for (const UseFound& found : lick_facts(lick_score(words)).uses) {
    EXPECT_FALSE(found.rule.empty());
    EXPECT_EQ(std::count(uses.begin(), uses.end(), found.use), 0);
    uses.push_back(found.use);
  }
  EXPECT_FALSE(uses.empty());
  return uses;
}

bool serves(const char* words, LickUse use) {
  const auto uses = uses_of(words);
  return std::find(uses.begin(), uses.end(), use) != uses.end();
}

TEST(LickUses, NamesAreReadAsTheyAreWritten) {
  for (std::size_t i = 0; i < lick_uses; ++i) {
    const auto use = static_cast<LickUse>(i);
    EXPECT_EQ(parse_lick_use(slug(use)), use);
  }
  EXPECT_EQ(slug(LickUse::low_to_high), "low-to-high");
  EXPECT_EQ(parse_lick_use("kick off"), LickUse::kick_off);
  EXPECT_FALSE(parse_lick_use("solo"));
}

TEST(LickUses, FillIn) {
  EXPECT_EQ(uses_of("[C] 4:2.2T 3:0I 2:1.1I 1:2.3M 5:0T 2:1.1I 1:2.3M 5:0T").front(), LickUse::fill_in);
  EXPECT_FALSE(serves("[G] 3:0T 2:0I 5:0T 1:0M 3:0T 2:0I 5:0T 1:0M | [C] 4:2.2T*8", LickUse::fill_in));
}

TEST(LickUses, WalkUp) {
  // G A B C on the fourth and third strings, as a bass would walk.
  EXPECT_EQ(uses_of("[G] 4:5.4T*2 4:7.1T*2 4:9.3T*2 - - | [C] 4:10.4T*8").front(), LickUse::walk_up);
  EXPECT_EQ(uses_of("[G] 3:0T*2 3:2.2T*2 3:4.4T*2 - - | [C] 3:5.4T*8").front(), LickUse::walk_up);
  // And down again.
  EXPECT_TRUE(serves("[C] 3:5.4T*2 3:4.3T*2 3:2.1T*2 - - | [G] 3:0T*8", LickUse::walk_up));
  EXPECT_FALSE(serves("[G] 3:0T 2:0I 5:0T 1:0M 3:0T 2:0I 5:0T 1:0M | [C] 4:2.2T*8", LickUse::walk_up));
}

// A walk may be of two steps: C, C sharp, D is one whatever is picked between, G, F sharp, E another.
TEST(LickUses, TwoStepsToARootAreAWalk) {
  EXPECT_EQ(uses_of("[C] 4:2.2T 2:1.1I 5:0T 1:2.3M 2:1.1T 1:2.3M 2:2.2T 1:2.3M | [D] 2:3.2T*8").front(),
            LickUse::walk_up);
  const char* const down = "[G] 3:0T 1:0M 5:0T 1:0M 2:0I 1:0M 4:4.4T 2:0I | [Em] 4:2.2T*8";
  EXPECT_FALSE(serves(down, LickUse::walk_up));  // B is between
  EXPECT_TRUE(serves("[G] 3:0T 1:0M 5:0T 1:0M 3:0T 1:0M 4:4.4T 2:0I | [Em] 4:2.2T*8", LickUse::walk_up));
  EXPECT_EQ(uses_of("[G] 3:0T 1:0M 5:0T 1:0M 3:0T 1:0M 4:4.4T 2:0I | [Em] 4:2.2T*8").front(), LickUse::segue);
  // To the third of C, and to no other chord.
  EXPECT_FALSE(serves("[G] 3:0T 1:0M 5:0T 1:0M 4:0T 1:0M 4:1.1T 2:0I | [C] 4:2.2T*8", LickUse::walk_up));
  EXPECT_FALSE(serves("[D] 2:1.1T 1:0M 5:0T 1:0M 2:1.1T 1:0M 2:2.2T 1:0M | 2:3.2T*8", LickUse::walk_up));
}

// A run of eighths down the scale leads to a chord first of all.
TEST(LickUses, AScaleIsFirstASegue) {
  const auto uses = uses_of("[G] 1:5.4M 1:4.3M 2:5.4I 2:3.2I 2:1.1T 2:0I 3:2.1T 3:0I | [D] 4:4.4T*8");
  ASSERT_EQ(uses.size(), 2U);
  EXPECT_EQ(uses[0], LickUse::segue);
  EXPECT_EQ(uses[1], LickUse::walk_up);
}

TEST(LickUses, Segue) {
  EXPECT_EQ(uses_of("[G] 3:0T 2:0I 5:0T 1:0M 3:0T 2:0I 5:0T 1:0M | [C] 4:2.2T*8").front(), LickUse::segue);
  EXPECT_FALSE(serves("[G] 3:0T 2:0I 5:0T 1:0M 3:0T 2:0I 5:0T 1:0M", LickUse::segue));
  // The seventh makes no other chord of it.
  EXPECT_FALSE(serves("[D] 4:0T 3:2.1I 5:0T 1:0M 3:2.1T [D7] 2:1.1I 5:0T 1:0M", LickUse::segue));
}

TEST(LickUses, Turnaround) {
  EXPECT_TRUE(serves("[G] 3:0T 2:0I 5:0T 1:0M 3:0T 2:0I 5:0T 1:0M | [D] 4:0T 3:2.1I 2:3.2M 1:4.4M 4:0T*4",
                     LickUse::turnaround));
  EXPECT_TRUE(
      serves("[G] 3:0T 2:0I 5:0T 1:0M [D7] 4:0T 3:2.2I 2:1.1I 1:0M | [G] 3:0T*8", LickUse::turnaround));
  EXPECT_FALSE(serves("[G] 3:0T 2:0I 5:0T 1:0M 3:0T 2:0I 5:0T 1:0M | [C] 4:2.2T*8", LickUse::turnaround));
}

TEST(LickUses, Tag) {
  EXPECT_TRUE(serves("[G] 3:2.2T s3:3.2 2:0I 1:0M 5:0T 4:0T h4:2.2 3:0T", LickUse::tag));
  EXPECT_FALSE(serves("[C] 4:2.2T 3:0I 2:1.1I 1:2.3M 5:0T 2:1.1I 1:2.3M 4:2.2T", LickUse::tag));
}

// The full close in one measure, tonic, dominant, tonic, rounds off; over the seventh degree of a modal tune
// it goes around.
TEST(LickUses, AFullCloseInAMeasureIsATag) {
  EXPECT_EQ(uses_of("[G] 3:0T 2:0I 5:0T 1:0M [D7] 4:0T 3:2.2I 2:1.1I 1:0M | [G] 3:0T*8").front(),
            LickUse::tag);
  LickKind minor;
  minor.key = {-1, Mode::minor};
  EXPECT_EQ(
      lick_facts(lick_score("[Dm] 4:0T 3:2.2I 5:0T 1:0M [C] 4:2.2T 3:0I 2:1.1I 1:0M | [Dm] 4:0T*8", minor))
          .uses.front()
          .use,
      LickUse::turnaround);
}

// What is damped rings no more: a vamp's chop is no end.
TEST(LickUses, DampedItComesToNoRest) {
  Score vamp = lick_score("[G] 4:5.3T*2 3:4.2T+2:3.1I+1:5.4M*2 4:0T*2 3:4.2T+2:3.1I+1:5.4M*2");
  for (const std::size_t chop : {1U, 3U}) {
    for (Note& note : vamp.measures[0].strokes[chop].notes) note.ring = Ring::damp;
  }
  const LickFacts facts = lick_facts(vamp);
  ASSERT_EQ(facts.uses.size(), 1U);
  EXPECT_EQ(facts.uses.front().use, LickUse::fill_in);
}

// A pinch that is held stops the roll before the last note.
TEST(LickUses, APinchMakesATag) {
  EXPECT_EQ(uses_of("[G] 3:2.2T s3:3.2 2:0I 1:0M 4:0T 3:0I 5:0T+1:0M*2 | 3:0T*8").front(), LickUse::tag);
  EXPECT_EQ(uses_of("[G] 3:2.2T s3:3.2 2:0I 1:0M 5:0T+1:0M 3:0T 2:0I 1:0M | 3:0T*8").front(),
            LickUse::fill_in);
}

// It lands on a note of the tune, which goes on: no tag before a fill-in.
TEST(LickUses, ATagHasNothingAfterIt) {
  EXPECT_EQ(uses_of("[G] 3:2.2T s3:3.2 2:0I 1:0M 5:0T 4:0T 3:0T*2").front(), LickUse::tag);
  EXPECT_EQ(uses_of("[G] 3:2.2T s3:3.2 2:0I 1:0M 5:0T 4:0T h4:2.2 1:0M | 3:0T*8").front(), LickUse::fill_in);
}

TEST(LickUses, Ending) {
  EXPECT_EQ(uses_of("[D7] 4:0T 3:2.2I 2:1.1I 1:0M 4:0T 3:2.2I 2:1.1I 1:0M | [G] 3:0T 2:0I 1:0M 5:0T 3:0T*4")
                .front(),
            LickUse::ending);
  EXPECT_FALSE(serves("[G] 3:0T 2:0I 5:0T 1:0M 3:0T 2:0I 5:0T 1:0M", LickUse::ending));
}

// The commonest last stroke: open G, whose highest note is D.
TEST(LickUses, AChordOfTheTonicIsAnEnd) {
  EXPECT_EQ(
      uses_of("[D7] 3:2.2T 2:1.1I 4:0T 1:0M 3:2.2T 2:1.1I 4:0T 1:0M | [G] 3:0T*4 3:0T+2:0I+1:0M*4").front(),
      LickUse::ending);
  EXPECT_EQ(uses_of("[G] 4:0T h4:2.2 3:0I 1:0M 3:0T*2 5:0T+1:0M*2").front(), LickUse::tag);
  EXPECT_FALSE(serves("[G] 3:2.2T 2:1.1I 4:0T 1:0M [D7] 3:0T*2 3:2.2T+2:1.1I+1:0M*2", LickUse::ending));
}

// A measure to the fifth degree leads there, and no part begins again.
TEST(LickUses, ToTheDominantIsASegue) {
  const char* const to_d = "[G] 3:0T 2:0I 5:0T 1:0M 3:0T 2:0I 5:0T 1:0M | [D] 4:0T*8";
  EXPECT_EQ(uses_of(to_d).front(), LickUse::segue);
  EXPECT_FALSE(serves(to_d, LickUse::turnaround));
}

// Chimes at the twelfth fret are rung from where the hand is.
TEST(LickUses, ChimesCarryNoHandUpTheNeck) {
  Score score = lick_score("[G] 3:2.2T 2:0I 5:0T 1:0M 3:12T*2 1:12M*2");
  for (const std::size_t stroke : {4U, 5U}) score.measures[0].strokes[stroke].notes[0].harmonic = true;
  for (const UseFound& found : lick_facts(score).uses) EXPECT_NE(found.use, LickUse::low_to_high);
}

TEST(LickUses, KickOff) {
  EXPECT_EQ(uses_of("[G] 4:0T*2 4:2.2T*2 | 3:0T*8").front(), LickUse::kick_off);
  EXPECT_EQ(uses_of("[G] - - - - 4:0T*2 4:2.2T*2 | 3:0T*8").front(), LickUse::kick_off);
  EXPECT_FALSE(serves("[G] 4:0T*2 4:2.2T*2 | 3:0T 2:0I 5:0T 1:0M 3:0T 2:0I 5:0T 1:0M", LickUse::kick_off));
  EXPECT_FALSE(serves("[G] 3:0T 2:0I 5:0T 1:0M 3:0T 2:0I 5:0T 1:0M | 3:0T*8", LickUse::kick_off));
}

// A measure more than the pickup, and home.
TEST(LickUses, AKickOffMayBeLongerThanItsPickup) {
  const char* const home = "[D7] 4:0T*2 4:2.2T*2 | 4:4.4T 1:0M 3:0T 1:0M 3:2.1T 1:0M 2:0I 1:0M | [G] 3:0T*8";
  EXPECT_TRUE(serves(home, LickUse::kick_off));
  EXPECT_FALSE(serves("[G] 3:0T*2 3:2.1T*2 | 2:0I 1:0M 5:0T 1:0M 3:0T 2:0I 5:0T 1:0M | [D] 4:0T*8",
                      LickUse::kick_off));
}

TEST(LickUses, LowToHigh) {
  EXPECT_TRUE(serves("[G] 3:2.2T 2:0I 1:0M 5:0T 3:4.2T 2:0I 1:0M 5:0T | 1:5.1M 5:0T 1:7.1M 5:0T 1:9.3M*4",
                     LickUse::low_to_high));
  EXPECT_FALSE(serves("[G] 1:9.3M 5:0T 1:7.1M 5:0T 3:4.2T 2:0I 1:0M 5:0T", LickUse::low_to_high));
}

}  // namespace
}  // namespace fifthpeg
