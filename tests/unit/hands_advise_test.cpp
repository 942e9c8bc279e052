// What advise() promises about any piece; what players would advise is in hands_trade_test.cpp.
#include <algorithm>
#include <gtest/gtest.h>
#include <string>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/hands.hpp"
#include "unit/hands_scores.hpp"

namespace fifthpeg {
namespace {

using testing::passage;

TEST(Advise, IsRankedAndItsOptionsCanBeUsed) {
  const Score score = passage("E4 A4 B4 C#5 A4 C#5 E5 C#5 D5 F#5 E5 C#5 B4 A4 G#4 E4");
  const auto advice = advise(score);
  ASSERT_EQ(advice.size(), AdviseOptions{}.most);
  for (std::size_t i = 1; i < advice.size(); ++i) EXPECT_LE(advice[i - 1].burden, advice[i].burden);
  for (const Advice& one : advice) {
    EXPECT_FALSE(one.reasons.empty());
    EXPECT_EQ(one.notes, 16U);
    if (!one.playable) continue;
    // Following it costs the hands what it says.
    Score followed = score;
    followed.banjo = one.banjo;
    HandsOptions options;
    options.transpose = one.half_steps;
    EXPECT_EQ(finger(followed, options).cost, one.cost);
    std::uint64_t open = 0;
    for (const Measure& measure : followed.measures) {
      for (const Stroke& stroke : measure.strokes) {
        for (const Note& note : stroke.notes) open += note.placement->fret == 0 ? 1 : 0;
      }
    }
    EXPECT_EQ(open, one.open);
  }
}

// A setting whose options convert would refuse never stands before one that works.
TEST(Advise, WhatCanBePlayedComesFirst) {
  for (const std::string_view words : {"C3 G3 D4 G4 B3 D4", "D3 G5 D6 E6 G5 D4", "C4 E4 G4 C3 G6 C5"}) {
    bool playable = true;
    for (const Advice& one : advise(passage(words))) {
      EXPECT_TRUE(playable || !one.playable);
      playable = one.playable;
    }
  }
}

TEST(Advise, SaysHowTheOpenStringsGoWithTheKey) {
  const auto advice = advise(passage("G3 B3 D4 G4 D4 B3 A3 G3"));
  ASSERT_FALSE(advice.empty());
  const auto& reasons = advice.front().reasons;
  EXPECT_NE(std::find(reasons.begin(), reasons.end(), "open strings D G B D: the key's chord"),
            reasons.end());
}

TEST(Advise, CountsWhatLiesOutside) {
  // Five octaves: no setting holds them.
  const auto advice = advise(passage("C2 G3 D4 G4 C7 C7"));
  ASSERT_FALSE(advice.empty());
  for (const Advice& one : advice) {
    EXPECT_FALSE(one.playable);
    EXPECT_GE(one.too_low + one.too_high, 1U);
    EXPECT_NE(one.reasons.front().find("note"), std::string::npos);
  }
}

TEST(Advise, KeepsTheSoundingKeyUnlessAskedOtherwise) {
  const Score score = passage("F4 A4 C5 F5 C5 A4 F4 F4");
  for (const Advice& one : advise(score)) EXPECT_EQ(one.half_steps % 12, 0);
  AdviseOptions options;
  options.other_keys = true;
  const auto anywhere = advise(score, options);
  EXPECT_LE(anywhere.front().burden, advise(score).front().burden);
}

TEST(Advise, NothingToAdviseOn) {
  EXPECT_EQ(advise(Score{}).front().notes, 0U);
  AdviseOptions options;
  options.style = Style::automatic;
  EXPECT_THROW(advise(Score{}, options), UsageError);
}

}  // namespace
}  // namespace fifthpeg
