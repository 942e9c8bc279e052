// What advise() promises about any piece; what players would advise is in hands_trade_test.cpp.
#include <algorithm>
#include <gtest/gtest.h>
#include <string>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/hands.hpp"
#include "hands/scores.hpp"

namespace fifthpeg {
namespace {

using testing::passage;

TEST(Advise, IsRankedAndItsOptionsCanBeUsed) {
  const Score score = passage("E4 A4 B4 C#5 A4 C#5 E5 C#5 D5 F#5 E5 C#5 B4 A4 G#4 E4");
  const auto advice = advise(score);
  ASSERT_EQ(advice.size(), AdviseOptions{}.most);
  for (std::size_t i = 1; i < advice.size(); ++i) EXPECT_LE(advice[i - 1].setup_cost, advice[i].setup_cost);
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

// A way in which a note has no place is no advice.
TEST(Advise, EveryNoteHasAPlace) {
  AdviseOptions options;
  options.most = 100;
  for (const std::string_view words : {"E1 G1 B1 E4", "D3 G5 D6 E6 G5 D4", "C2 G3 D4 G4 C4", "G3 B3 D4 G4"}) {
    for (const bool other_keys : {false, true}) {
      options.other_keys = other_keys;
      for (const Advice& one : advise(passage(words), options)) {
        Score followed = passage(words);
        followed.banjo = one.banjo;
        HandsOptions hands;
        hands.transpose = one.half_steps;
        hands.thin = !one.playable;
        EXPECT_NO_THROW(finger(followed, hands))
            << words << " " << to_string(one.banjo.tuning) << " capo " << one.banjo.capo;
      }
    }
  }
}

TEST(Advise, SaysWhyNothingFits) {
  AdviseOptions other_keys;
  other_keys.other_keys = true;
  // Five octaves: no setting holds them.
  const Score wide = passage("C2 G3 D4 G4 C7 C7");
  EXPECT_TRUE(advise(wide).empty());
  EXPECT_TRUE(advise(wide, other_keys).empty());
  EXPECT_STREQ(why_nothing_fits(wide).what(),
               "the tune spans 60 half steps, C2 to C7, and the banjo has at most 36, C3 to C6 in double C");
  EXPECT_EQ(why_nothing_fits(wide).code(), "tune-too-wide");
  EXPECT_EQ(why_nothing_fits(wide).data().limit, 36);
  // 36 half steps, as many as there are, but not at this pitch.
  const Score high = passage("E3 G3 D4 G4 E6");
  EXPECT_TRUE(advise(high).empty());
  EXPECT_FALSE(advise(high, other_keys).empty());
  EXPECT_STREQ(
      why_nothing_fits(high).what(),
      "the tune spans 36 half steps, E3 to E6, and the banjo has at most 36, C3 to C6 in double C; octaves "
      "from where it is written it fits no usual tuning");
  EXPECT_EQ(why_nothing_fits(high).code(), "no-octave-fits");
  EXPECT_EQ(why_nothing_fits(high, other_keys).code(), "no-key-fits");
}

TEST(Advise, WhatNeedsMoreThanItsPitch) {
  // A D that is choked cannot be an open string; a chime two octaves above the first string is above all
  // frets.
  Score score = passage("D3 G3 B3 D4");
  score.measures[0].strokes[0].notes[0].choke = Choke{};
  const auto choked = advise(score);
  ASSERT_FALSE(choked.empty());
  for (const Advice& one : choked) EXPECT_NE(one.banjo.lowest(), 50 + one.half_steps);
  Score chime = passage("D4 G4 D6");
  chime.measures[0].strokes[2].notes[0].harmonic = true;
  AdviseOptions all;
  all.most = 100;
  const auto ways = advise(chime, all);
  EXPECT_TRUE(std::any_of(ways.begin(), ways.end(), [](const Advice& one) {
    return one.half_steps == 0 && one.banjo.tuning == open_g() && one.banjo.capo == 0;
  }));
}

TEST(Advise, KeepsTheSoundingKeyUnlessAskedOtherwise) {
  const Score score = passage("F4 A4 C5 F5 C5 A4 F4 F4");
  for (const Advice& one : advise(score)) EXPECT_EQ(one.half_steps % 12, 0);
  AdviseOptions options;
  options.other_keys = true;
  const auto anywhere = advise(score, options);
  EXPECT_LE(anywhere.front().setup_cost, advise(score).front().setup_cost);
}

// Common practice: a mixolydian tune is written with the signature of the key a fifth below its tonic, and
// ends on that tonic; the drone is tuned to it.
TEST(Advise, AMixolydianTuneStandsOnItsLastNote) {
  Score score = passage(
      "A4 A4 A4 B4 C#5 B4 A4 F#4 A4 A4 A4 B4 C#5 A4 G4 E4 A4 A4 A4 B4 C#5 D5 E5 C#5 E5 D5 C#5 B4 A4 A4 A4 "
      "A4");
  score.measures.front().key = {2, Mode::major};
  const Advice best = advise(score).front();
  EXPECT_EQ(best.banjo.capo, 2);
  EXPECT_NE(std::find(best.reasons.begin(), best.reasons.end(), "the drone sounds A, the tonic"),
            best.reasons.end());
}

// A tune may lead back into its beginning: it stays in the key of its signature, where its measures begin.
TEST(Advise, ATuneThatLeadsBackStaysInItsKey) {
  Score score = passage(
      "G4 A4 B4 A4 G4 E4 D4 E4 G4 A4 B4 G4 A4 E4 A4 B4 G4 A4 B4 A4 G4 E4 D4 E4 B4 A4 G4 E4 A4 E4 A4 A4");
  score.measures.front().key = {1, Mode::major};
  const Advice best = advise(score).front();
  EXPECT_EQ(best.banjo.capo, 0);
  EXPECT_NE(std::find(best.reasons.begin(), best.reasons.end(), "the drone sounds G, the tonic"),
            best.reasons.end());
}

TEST(Advise, NothingToAdviseOn) {
  EXPECT_EQ(advise(Score{}).front().notes, 0U);
  AdviseOptions options;
  options.style = Style::automatic;
  EXPECT_THROW(advise(Score{}, options), UsageError);
}

}  // namespace
}  // namespace fifthpeg
