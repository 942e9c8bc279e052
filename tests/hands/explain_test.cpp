// What finger() says about its reasons.
#include <gtest/gtest.h>
#include <numeric>

#include "fifthpeg/hands.hpp"
#include "hands/scores.hpp"

namespace fifthpeg {
namespace {

using testing::passage;
using testing::placements_of;

TEST(Explain, CostsByKindAddUpToTheWhole) {
  Score score = passage("G3 A3 B3 C4 D4 E4 F#4 G4 A4+C4 B4 G4 D5+B4+G4 - E4 D4");
  HandsOptions options;
  options.explain = true;
  const FingeringResult result = finger(score, options);
  std::int64_t sum = 0;
  std::size_t strokes = 0;
  for (const Explained& one : result.explanation) {
    sum += std::accumulate(one.cost.begin(), one.cost.end(), std::int64_t{0});
    EXPECT_EQ(one.notes.size(), score.measures[one.measure].strokes[one.stroke].notes.size());
    ++strokes;
  }
  EXPECT_EQ(sum, result.cost);
  EXPECT_EQ(strokes, 14U);
}

// The runner-up's price is what the whole costs when the note is put there, chords and slurs included.
TEST(Explain, TheRunnerUpCostsWhatItIsSaidToCost) {
  const auto given = [] {
    Score score = passage("G3 A3 B3 C4 D4 E4 F#4 G4 E4+C4 D4 B3 G4 E4 C4 D4+B3+G3 A3");
    std::vector<Stroke>& strokes = score.measures[1].strokes;
    strokes[4].notes[0].out_of = Technique::slur;
    strokes[5].notes[0].into = Technique::slur;
    return score;
  };
  for (const Style style : {Style::roll, Style::melodic, Style::single_string, Style::clawhammer}) {
    Score score = given();
    HandsOptions options;
    options.style = style;
    options.explain = true;
    const FingeringResult result = finger(score, options);
    options.explain = false;
    int compared = 0;
    for (const Explained& one : result.explanation) {
      for (std::size_t n = 0; n < one.notes.size(); ++n) {
        const RunnerUp& runner_up = one.notes[n];
        EXPECT_GE(runner_up.more, 0);
        if (runner_up.string == 0) continue;
        Score other = given();
        Note& note = other.measures[one.measure].strokes[one.stroke].notes[n];
        const auto fret = other.banjo.fret_for(runner_up.string, note.pitch.midi());
        ASSERT_TRUE(fret);
        note.placement = Placement{runner_up.string, static_cast<std::int8_t>(*fret)};
        EXPECT_EQ(finger(other, options).cost, result.cost + runner_up.more)
            << slug(style) << ", measure " << one.measure + 1 << ", stroke " << one.stroke + 1;
        EXPECT_NE(runner_up.string,
                  score.measures[one.measure].strokes[one.stroke].notes[n].placement->string);
        ++compared;
      }
    }
    EXPECT_GE(compared, 14) << slug(style);
  }
}

// What comes back outweighs single notes: a figure that only says so is no price.
TEST(Explain, WhereAMeasureComesBackEachFigureIsAPrice) {
  const std::string line = "B3 D4 D4 C4 D4 B3 G3 A3 ";
  const std::string other = "B3 B3 A3 G3 A3 - - G3 ";
  Score score = passage(line + other + line + "B3 B3 A3 A3 G3 - - G3 " + line + other);
  HandsOptions options;
  options.explain = true;
  int figures = 0;
  for (const Explained& one : finger(score, options).explanation) {
    for (const RunnerUp& runner_up : one.notes) {
      EXPECT_LT(runner_up.more, 6000);
      figures += runner_up.string != 0 ? 1 : 0;
    }
  }
  EXPECT_GE(figures, 10);
}

TEST(Explain, ANoteWithOnePlaceHasNoRunnerUp) {
  Score score = passage("E3 G3");
  HandsOptions options;
  options.transpose = 0;
  options.explain = true;
  const FingeringResult result = finger(score, options);
  EXPECT_EQ(result.explanation.at(0).notes.at(0).string, 0);
}

TEST(Explain, SaysNothingUnlessAsked) {
  Score score = passage("E3 G3");
  EXPECT_TRUE(finger(score).explanation.empty());
}

TEST(Explain, KindsHaveNames) {
  EXPECT_EQ(to_string(CostKind::fretting), "fretting");
  EXPECT_EQ(to_string(CostKind::confinement), "confinement");
}

}  // namespace
}  // namespace fifthpeg
