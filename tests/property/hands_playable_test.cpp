// Whatever the passage and the options: what comes out can be played, and is the same every time.
#include <algorithm>
#include <gtest/gtest.h>

#include "fifthpeg/hands.hpp"
#include "property/hands_random.hpp"
#include "tried.hpp"

namespace fifthpeg {
namespace {

void expect_playable(const Score& score) {
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      unsigned strings = 0;
      unsigned fingers_at[6] = {};
      for (const Note& note : stroke.notes) {
        ASSERT_TRUE(note.placement);
        ASSERT_TRUE(note.finger);
        EXPECT_EQ(score.banjo.midi_at(*note.placement), note.pitch.midi());
        EXPECT_EQ(strings & (1U << note.placement->string), 0U) << "two notes on one string";
        strings |= 1U << note.placement->string;
        EXPECT_EQ(note.placement->fret == 0, *note.finger == FretFinger::open);
        if (note.placement->fret == 0) continue;
        // One finger is at one fret; a finger nearer the little one is not below it.
        fingers_at[static_cast<int>(*note.finger)] |= 1U << note.placement->fret;
      }
      for (const unsigned frets : fingers_at) EXPECT_EQ(frets & (frets - 1), 0U) << "a finger in two places";
      for (int finger = 1; finger < 4; ++finger) {
        for (int higher = finger + 1; higher <= 4; ++higher) {
          if (fingers_at[finger] != 0 && fingers_at[higher] != 0) {
            EXPECT_LE(fingers_at[finger], fingers_at[higher]);
          }
        }
      }
    }
  }
}

TEST(HandsPlayable, RandomPassagesInEveryStyle) {
  testing::RandomPassages random(20);
  testing::PassageKind kind;
  kind.strokes = 60;
  kind.frets = 22;
  for (int n = 0; n < testing::tried(40); ++n) {
    const Score score = random.next(kind);
    for (const Style style :
         {Style::roll, Style::melodic, Style::single_string, Style::clawhammer, Style::automatic}) {
      HandsOptions options;
      options.style = style;
      options.thin = true;
      options.suggest_slurs = random.one_in(3);
      options.refinger = static_cast<Refinger>(random.below(3));
      Score once = score;
      Score twice = score;
      const FingeringResult result = finger(once, options);
      finger(twice, options);
      ASSERT_EQ(once, twice);
      EXPECT_GE(result.cost, 0);
      expect_playable(once);
    }
  }
}

// What has been fingered stays as it is when it is fingered again.
TEST(HandsPlayable, FixedPointsStay) {
  for (const unsigned seed : {21U, 22U, 23U, 24U, 25U, 26U, 27U, 28U}) {
    testing::RandomPassages random(seed);
    testing::PassageKind kind;
    kind.strokes = 40;
    kind.frets = 22;
    kind.slurs = 0;
    kind.ties = 0;
    for (int n = 0; n < testing::tried(20); ++n) {
      Score score = random.next(kind);
      HandsOptions options;
      options.thin = true;
      const FingeringResult first = finger(score, options);
      Score again = score;
      const FingeringResult second = finger(again, options);
      EXPECT_EQ(again, score);
      EXPECT_EQ(second.cost, first.cost);
      EXPECT_TRUE(second.report.empty());
    }
  }
}

}  // namespace
}  // namespace fifthpeg
