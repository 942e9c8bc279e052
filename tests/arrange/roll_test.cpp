// What holds of every arrangement in rolls, on random melodies in four meters at all levels.
#include <array>
#include <bit>
#include <gtest/gtest.h>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "arrange/melodies.hpp"
#include "arrange/promises.hpp"
#include "arrange/varied_melody.hpp"
#include "fifthpeg/arrange.hpp"
#include "fifthpeg/hands.hpp"

namespace fifthpeg::arranged {
namespace {

struct Case {
  Score melody;
  ArrangeOptions options;
  Arrangement made;
};

// Made once for all tests.
const std::vector<Case>& cases() {
  static const std::vector<Case> all = [] {
    std::vector<Case> made;
    for (const auto& [beats, unit] : four_meters) {
      for (int level = lowest_level; level <= highest_level; ++level) {
        for (Score& melody : melodies_in(beats, unit)) {
          ArrangeOptions options;
          options.level = level;
          Arrangement arrangement = arrange(melody, options);
          made.push_back({std::move(melody), options, std::move(arrangement)});
        }
        for (std::uint64_t seed = 1; seed <= 4; ++seed) {
          testing::VariedMelodyOptions kind;
          kind.beats = beats;
          kind.unit = unit;
          kind.pickup = seed % 2 == 0;
          kind.chords = seed % 3 != 0;
          Score melody = testing::varied_melody(seed, kind);
          ArrangeOptions options;
          options.level = level;
          Arrangement arrangement = arrange(melody, options);
          made.push_back({std::move(melody), options, std::move(arrangement)});
        }
      }
    }
    return made;
  }();
  return all;
}

template <typename Test>
void for_all(const Test& test) {
  for (const Case& one : cases()) {
    SCOPED_TRACE(to_string(one.melody.measures.back().meter) + ", level " +
                 std::to_string(one.options.level));
    test(one.melody, one.options, one.made);
    if (::testing::Test::HasFatalFailure()) return;
  }
}

TEST(Rolls, EveryKeptMelodyNoteSoundsAndNothingElseIsMelody) {
  for_all([](const Score&, const ArrangeOptions&, const Arrangement& made) {
    expect_melody_and_nothing_else(made);
  });
}

TEST(Rolls, TheMelodyIsHeardOverItsFills) {
  for_all([](const Score&, const ArrangeOptions&, const Arrangement& made) {
    expect_melody_over_fills(made.score);
  });
}

TEST(Rolls, FillsBelongToTheChord) {
  for_all([](const Score&, const ArrangeOptions&, const Arrangement& made) {
    arranged::expect_fills_of_the_chord(made.score);
  });
}

TEST(Rolls, FingersAndStringsChange) {
  std::map<std::string, long> counts;
  for_all([&](const Score&, const ArrangeOptions&, const Arrangement& made) {
    const auto all = heard(made.score);
    for (std::size_t i = 1; i < all.size(); ++i) {
      if (all[i].at - all[i - 1].at > Fraction(1, 8)) continue;
      ++counts["steps"];
      for (const Note& a : all[i - 1].stroke->notes) {
        for (const Note& b : all[i].stroke->notes) {
          if (!b.picking_finger) continue;
          if (a.picking_finger == b.picking_finger) ++counts["fingers"];
          const bool both = a.role == Role::melody && b.role == Role::melody;
          if (a.placement->string == b.placement->string && !both) ++counts["strings"];
        }
      }
    }
    for (std::size_t i = 0; i + 4 <= all.size(); ++i) {
      unsigned strings = 0;
      bool whole = true;
      for (std::size_t k = i; k < i + 4; ++k) {
        whole = whole && all[k].stroke->notes.size() == 1 &&
                (k == i || all[k].at - all[k - 1].at == Fraction(1, 8));
        strings |= 1U << static_cast<unsigned>(all[k].stroke->notes[0].placement->string);
      }
      if (!whole) continue;
      ++counts["windows"];
      if (std::popcount(strings) <= 2) ++counts["windows of two"];
    }
  });
  EXPECT_EQ(counts["fingers"], 0) << "of " << counts["steps"];
  EXPECT_EQ(counts["strings"], 0) << "of " << counts["steps"];
  EXPECT_LE(counts["windows of two"] * 100, counts["windows"] * 8);
  EXPECT_GT(counts["windows"], 10'000);
}

TEST(Rolls, MoreOfTheMelodyIsKeptFromLevelToLevel) {
  std::array<long, highest_level + 1> kept{};
  for_all([&](const Score&, const ArrangeOptions& options, const Arrangement& made) {
    for (const MelodyNote& note : made.melody)
      kept.at(static_cast<std::size_t>(options.level)) += note.kept ? 1 : 0;
  });
  for (std::size_t level = 2; level < kept.size(); ++level) EXPECT_GT(kept[level], kept[level - 1]) << level;
}

TEST(Rolls, TempoChangesNothing) {
  for_all([](const Score& melody, const ArrangeOptions& options, const Arrangement& made) {
    Score fast = melody;
    fast.measures.front().tempos.push_back({});
    fast.measures.front().tempos.back().quarters_per_minute = 240;
    const Arrangement other = arrange(fast, options);
    ASSERT_EQ(other.score.measures.size(), made.score.measures.size());
    for (std::size_t m = 0; m < made.score.measures.size(); ++m) {
      ASSERT_EQ(other.score.measures[m].strokes, made.score.measures[m].strokes) << m;
    }
  });
}

// "0:3/2T 1/8:2/0I": onset, string, fret, picking finger.
std::string tab_of(const Measure& measure) {
  std::string text;
  for (const Stroke& stroke : measure.strokes) {
    text += to_string(stroke.onset) + ':';
    for (const Note& note : stroke.notes) {
      text += std::to_string(note.placement->string) + '/' + std::to_string(note.placement->fret);
      text += note.picking_finger ? "TIMRLN"[static_cast<std::size_t>(*note.picking_finger)] : '-';
    }
    text += ' ';
  }
  return text;
}

TEST(Rolls, EqualMusicIsArrangedEqually) {
  expect_equal_music_equally(Style::roll, tab_of);
}

// Whatever is played is in first position, for beginners.
TEST(Rolls, BeginnersStayInTheFirstFrets) {
  for_all([](const Score&, const ArrangeOptions& options, const Arrangement& made) {
    if (options.level > 1) return;
    for (const Heard& one : heard(made.score)) {
      for (const Note& note : one.stroke->notes) ASSERT_LE(note.placement->fret, 4);
    }
  });
}

}  // namespace
}  // namespace fifthpeg::arranged
