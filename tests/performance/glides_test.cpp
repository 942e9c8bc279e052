// How bent notes move, and when clicks are heard.
#include <cstdint>
#include <gtest/gtest.h>
#include <utility>
#include <vector>

#include "fifthpeg/performance.hpp"
#include "hands/scores.hpp"

namespace fifthpeg {
namespace {

using testing::passage;

// Of the first note, whose string moves as it says.
std::vector<Glide> glides_of_first(Score& score) {
  const Performance performance = perform(score, {true, true, 480});
  return glides_of(performance, performance.notes.front());
}

TEST(Glides, OfANoteThatIsNotBentAreNone) {
  Score score = passage("A3 B3", {1, 4});
  EXPECT_TRUE(glides_of_first(score).empty());
}

TEST(Glides, ASlideIsTheLastThirdUpToAnEighth) {
  for (const auto& [each, from] :
       std::vector<std::pair<Fraction, std::int64_t>>{{{1, 8}, 160}, {{1, 1}, 1680}}) {
    Score score = passage("A3 B3", each);
    score.measures[0].strokes[0].notes[0].placement = Placement{3, 2};
    score.measures[0].strokes[0].notes[0].out_of = Technique::slide;
    Measure& last = score.measures.back();
    for (Stroke& stroke : last.strokes) {
      if (stroke.is_rest() || stroke.notes[0].pitch.midi() != 59) continue;
      stroke.notes[0].placement = Placement{3, 4};
      stroke.notes[0].into = Technique::slide;
    }
    const std::vector<Glide> glides = glides_of_first(score);
    ASSERT_EQ(glides.size(), 1U);
    EXPECT_EQ(glides[0].from, from);
    EXPECT_EQ(glides[0].to, (each * 4 * 480).num());
    EXPECT_EQ(glides[0].cents_from, 0);
    EXPECT_EQ(glides[0].cents_to, 200);
  }
}

TEST(Glides, AChokeIsPushedAndLetDown) {
  Score score = passage("A3 B3", {1, 4});
  score.measures[0].strokes[0].notes[0].choke = Choke{100, false, true};
  std::vector<Glide> glides = glides_of_first(score);
  ASSERT_EQ(glides.size(), 2U);
  EXPECT_EQ(glides[0].from, 0);
  EXPECT_EQ(glides[0].to, 240);
  EXPECT_EQ(glides[0].cents_to, 100);
  EXPECT_EQ(glides[1].from, 360);
  EXPECT_EQ(glides[1].to, 480);
  EXPECT_EQ(glides[1].cents_to, 0);
  score.measures[0].strokes[0].notes[0].choke = Choke{100, true, false};
  glides = glides_of_first(score);
  ASSERT_EQ(glides.size(), 1U);
  EXPECT_EQ(glides[0].to, 0) << "bent from its start on";
}

TEST(Clicks, AreHeardWheneverTheirMeasureIsPlayed) {
  Score score = passage("A3 B3 A3 B3 G3 G3 G3 G3", {1, 4});
  score.measures[0].repeat_starts = true;
  score.measures[0].repeat_times = 2;
  const Performance performance = perform(score, {true, true, 480});
  const std::vector<HeardClick> clicks =
      heard({{1, 0, false}, {0, Fraction(1, 2), false}, {0, 0, true}}, performance);
  ASSERT_EQ(clicks.size(), 5U);
  const std::vector<std::int64_t> wanted{0, 960, 1920, 2880, 3840};
  for (std::size_t i = 0; i < wanted.size(); ++i) EXPECT_EQ(clicks[i].start, wanted[i]);
  EXPECT_TRUE(clicks[2].accent);
  EXPECT_FALSE(clicks[4].accent);
}

}  // namespace
}  // namespace fifthpeg
