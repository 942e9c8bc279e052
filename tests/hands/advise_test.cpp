// What advise() promises about any piece; what players would advise is in hands_trade_test.cpp.
#include <algorithm>
#include <gtest/gtest.h>
#include <optional>
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
  ASSERT_GE(advice.size(), 3U);
  for (std::size_t i = 1; i < advice.size(); ++i) EXPECT_LE(advice[i - 1].setup_cost, advice[i].setup_cost);
  for (const Advice& one : advice) {
    EXPECT_FALSE(one.reasons.empty());
    EXPECT_EQ(one.notes, 16U);
    if (!one.playable) continue;
    // Following it costs the hands what it says.
    Score followed = score;
    followed.banjo = one.banjo;
    const FingeringResult result = finger(followed);
    EXPECT_EQ(result.cost, one.cost);
    EXPECT_EQ(result.half_steps, one.half_steps);
    std::uint64_t open = 0;
    for (const Measure& measure : followed.measures) {
      for (const Stroke& stroke : measure.strokes) {
        for (const Note& note : stroke.notes) open += note.placement->fret == 0 ? 1 : 0;
      }
    }
    EXPECT_EQ(open, one.open);
  }
}

// What the default does with a set-up is what is advised for it, in every style.
TEST(Advise, AgreesWithTheDefault) {
  for (const Style style : {Style::roll, Style::melodic, Style::single_string, Style::clawhammer}) {
    for (const std::string_view words :
         {"D5 E5 F#5 G5 A5 G5 F#5 E5 D5 B4 A4 G4 F#4 E4 D4 D4", "G3 A3 B3 C4 D4 B3 A3 G3 E3 F#3 G3 G3",
          "A4 B4 C5 D5 E5 G5 A5 G5 E5 D5 C5 A4", "C3 E3 G3 C4 D4 E4 G4 C5", "B4 D5 F5 Bb5 A5 F5 D5 Bb4"}) {
      AdviseOptions options;
      options.style = style;
      for (const Advice& one : advise(passage(words), options)) {
        Score followed = passage(words);
        followed.banjo = one.banjo;
        HandsOptions hands;
        hands.style = style;
        EXPECT_EQ(finger(followed, hands).half_steps, one.half_steps) << words << " " << slug(style);
      }
    }
  }
}

// Tab says which octave it is in.
TEST(Advise, TabStaysInItsOctave) {
  Score score = passage("D5 E5 F#5 G5 A5 G5 F#5 E5 D5 B4 A4 G4 F#4 E4 D4 D4");
  EXPECT_EQ(advise(score).front().half_steps, -12);
  score.measures[0].strokes[0].notes[0].placement = Placement{1, 12};
  EXPECT_EQ(advise(score).front().half_steps, 0);
  EXPECT_FALSE(advise_folding(score, {}, {}).has_value());
}

// A fiddle tune in D, and one of its sixty-four notes a step below the fourth string.
std::string with_a_low_note() {
  const std::string once =
      "D5 E5 F#5 G5 A5 G5 F#5 E5 D5 B4 A4 G4 F#4 E4 D4 E4 F#4 G4 A4 B4 C#5 D5 E5 D5 C#5 B4 A4 G4 F#4 E4 C4 "
      "D4";
  std::string whole = once + " " + once;
  whole.replace(whole.find("C4"), 2, "D4");
  return whole;
}

TEST(Advise, SaysWhatFoldingWouldGain) {
  const Score score = passage(with_a_low_note());
  AdviseOptions options;
  options.style = Style::clawhammer;
  std::vector<Advice> without = advise(score, options);
  std::erase_if(without, [](const Advice& one) { return one.half_steps != 0; });  // as if C had no tuning
  ASSERT_FALSE(without.empty());
  const std::optional<Advice> folding = advise_folding(score, options, without);
  ASSERT_TRUE(folding.has_value());
  EXPECT_EQ(folding->folded, 1U);
  EXPECT_EQ(folding->half_steps, -12);
  EXPECT_LT(folding->setup_cost * 5, without.front().setup_cost * 4);
  Score followed = score;
  followed.banjo = folding->banjo;
  HandsOptions hands;
  hands.style = options.style;
  hands.fold = true;
  const FingeringResult result = finger(followed, hands);
  EXPECT_EQ(result.half_steps, folding->half_steps);
  EXPECT_EQ(result.cost, folding->cost);
}

TEST(Advise, SaysNothingOfFoldingThatGainsNothing) {
  const Score score = passage("D5 E5 F#5 G5 A5 G5 F#5 E5 D5 B4 A4 G4 F#4 E4 D4 D4");
  EXPECT_FALSE(advise_folding(score, {}, advise(score)).has_value());
}

// What asks much less of the hands comes before what players try first, and says so.
TEST(Advise, WhatIsNotUsuallyFirstSaysWhyItIs) {
  const Score score = passage("C4 G4 A4 B4 C5 D5 E5 G5 E5 D5 C5 B4 A4 G4 E4 D4 C4 E4 G4 A4 B4 A4 G4 G4");
  const Advice best = advise(score).front();
  EXPECT_EQ(spelling(best.banjo.tuning), "gCGBD");
  EXPECT_EQ(best.half_steps, -12);
  EXPECT_EQ(best.reasons.back(), "players look at open G first, but the tune lies an octave higher there");
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
      "the tune spans 36 half steps, E3 to E6, and the banjo has at most 36, C3 to C6 in double C; in this "
      "key no octave of it fits a usual tuning");
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
  for (const std::string_view reason : {"the drone sounds A, the tonic", "the tune comes to rest on A"}) {
    EXPECT_NE(std::find(best.reasons.begin(), best.reasons.end(), reason), best.reasons.end()) << reason;
  }
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
