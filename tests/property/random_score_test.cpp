#include "property/random_score.hpp"

#include <gtest/gtest.h>

namespace fifthpeg::testing {
namespace {

TEST(RandomScore, IsSoundAndInNormalForm) {
  for (std::uint64_t seed = 0; seed < 2000; ++seed) {
    RandomScoreOptions options;
    options.nested_tuplets = seed % 3 == 0;
    const Score score = random_score(seed, options);
    const auto found = flaws(score);
    ASSERT_TRUE(found.empty()) << "seed " << seed << ": " << found.front();
    Score again = score;
    normalize(again);
    ASSERT_EQ(again, score) << "seed " << seed;
  }
}

TEST(RandomScore, SameSeedSameScore) {
  EXPECT_EQ(random_score(7), random_score(7));
}

TEST(RandomScore, IsTheSameMusicWithRoles) {
  RandomScoreOptions without;
  without.roles = false;
  int with_roles = 0;
  for (std::uint64_t seed = 0; seed < 50; ++seed) {
    const Score plain = random_score(seed, without);
    Score score = random_score(seed);
    with_roles += score != plain ? 1 : 0;
    for (Measure& measure : score.measures) {
      for (Stroke& stroke : measure.strokes) {
        for (Note& note : stroke.notes) note.role = Role::none;
      }
    }
    ASSERT_EQ(score, plain) << seed;
  }
  EXPECT_GT(with_roles, 10);
  EXPECT_LT(with_roles, 40);
}

TEST(RandomScore, TransposedThereAndBackSoundsTheSame) {
  for (std::uint64_t seed = 0; seed < 300; ++seed) {
    const Score score = random_score(seed);
    for (const int half_steps : {-12, -5, 1, 6, 7, 12}) {
      Score moved = score;
      transpose(moved, half_steps);
      transpose(moved, -half_steps);
      for (std::size_t m = 0; m < score.measures.size(); ++m) {
        for (std::size_t s = 0; s < score.measures[m].strokes.size(); ++s) {
          const auto& before = score.measures[m].strokes[s].notes;
          const auto& after = moved.measures[m].strokes[s].notes;
          ASSERT_EQ(before.size(), after.size());
          for (std::size_t n = 0; n < before.size(); ++n) {
            ASSERT_EQ(before[n].pitch.midi(), after[n].pitch.midi());
          }
        }
      }
    }
  }
}

TEST(RandomScore, UnfoldedIsPlayedStraightThrough) {
  for (std::uint64_t seed = 0; seed < 500; ++seed) {
    const Score score = random_score(seed);
    const PlayingOrder order = playing_order(score);
    const Score straight = unfolded(score);
    ASSERT_EQ(straight.measures.size(), order.measures.size());
    ASSERT_TRUE(flaws(straight).empty());
    const PlayingOrder again = playing_order(straight);
    for (std::size_t i = 0; i < again.measures.size(); ++i) ASSERT_EQ(again.measures[i], i);
  }
}

}  // namespace
}  // namespace fifthpeg::testing
