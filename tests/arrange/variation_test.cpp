// Several breaks of one tune: the same melody, played otherwise; and seeds.
#include "arrange/variation.hpp"

#include <algorithm>
#include <gtest/gtest.h>
#include <string>
#include <utility>
#include <vector>

#include "arrange/line.hpp"
#include "arrange/whole_arrangements.hpp"
#include "fifthpeg/errors.hpp"
#include "hands/scores.hpp"

namespace fifthpeg {
namespace {

using arranging::is_line;
using testing::is_told;
using testing::melody_for_breaks;
using testing::whole_arrangements;
using testing::WholeArrangement;

// Breaks and nothing else.
struct Varied {
  Score melody;
  ArrangeOptions options;
  Arrangement made;
};

const std::vector<Varied>& all_varied() {
  static const std::vector<Varied> all = [] {
    std::vector<Varied> made;
    std::uint64_t seed = 40;
    for (const auto& [beats, unit] : {std::pair{4, 4}, {2, 4}, {3, 4}, {6, 8}}) {
      for (int level = lowest_level; level <= highest_level; ++level) {
        for (const Style style : {Style::roll, Style::melodic, Style::single_string, Style::clawhammer}) {
          Varied& one = made.emplace_back();
          one.melody = melody_for_breaks(seed++, {beats}, unit, false);
          one.options.style = style;
          one.options.level = level;
          one.options.variations = 3;
          one.made = arrange(one.melody, one.options);
        }
      }
    }
    return made;
  }();
  return all;
}

template <class Of>
void for_each_varied(const Of& of) {
  for (const Varied& one : all_varied()) {
    SCOPED_TRACE(to_string(one.melody.measures.front().meter) + ", " + std::string(slug(one.options.style)) +
                 ", level " + std::to_string(one.options.level));
    of(one);
  }
}

std::string places_in(const Measure& measure) {
  std::string text;
  for (const Stroke& stroke : measure.strokes) {
    if (stroke.is_rest()) continue;
    text += to_string(stroke.onset) + (stroke.grace == Grace::none ? ":" : "~");
    for (const Note& note : stroke.notes)
      text += std::to_string(note.placement->string) + '/' + std::to_string(note.placement->fret) + ' ';
  }
  return text;
}

std::size_t different(const Varied& one, std::size_t a, std::size_t b) {
  const std::size_t count = one.melody.measures.size();
  std::size_t differ = 0;
  for (std::size_t m = 0; m < count; ++m) {
    const auto& measures = one.made.score.measures;
    if (places_in(measures[a * count + m]) != places_in(measures[b * count + m])) ++differ;
  }
  return differ;
}

TEST(Variations, KeepTheMelodyThatTheFirstBreakKeeps) {
  for (const WholeArrangement& one : whole_arrangements()) {
    SCOPED_TRACE(one.name());
    const auto count = static_cast<std::size_t>(one.options.variations);
    const auto& melody = one.made.melody;
    ASSERT_EQ(melody.size() % count, 0U);
    const std::size_t notes = melody.size() / count;
    for (std::size_t i = notes; i < melody.size(); ++i) {
      const MelodyNote& first = melody[i % notes];
      EXPECT_TRUE(melody[i].kept || !first.kept) << to_string(melody[i].at);
      EXPECT_EQ(melody[i].kept, first.kept || (melody[i].kept && !first.kept));
      EXPECT_EQ(melody[i].midi, first.midi);
      EXPECT_EQ(melody[i].at - melody[i - i % notes].at, first.at - melody.front().at);
    }
  }
}

TEST(Variations, DifferInAThirdOfTheirMeasuresOrSaySo) {
  std::size_t alike = 0;  // of breaks that are made of cells
  for_each_varied([&](const Varied& one) {
    const std::size_t count = one.melody.measures.size();
    ASSERT_EQ(one.made.score.measures.size(), 3 * count);
    bool all = true;
    for (const auto& [a, b] : {std::pair{0U, 1U}, {0U, 2U}, {1U, 2U}})
      all = all && different(one, a, b) * 3 >= count;
    EXPECT_EQ(is_told(one.made.report, "break-alike"), !all);
    if (!is_line(one.options.style)) alike += all ? 0 : 1;
  });
  EXPECT_LE(alike * 8, all_varied().size() / 2);
}

// The mean fret of what is played on the four long strings.
double height_of(const Varied& one, std::size_t number) {
  const std::size_t count = one.melody.measures.size();
  double sum = 0;
  int notes = 0;
  for (std::size_t m = number * count; m < (number + 1) * count; ++m) {
    for (const Stroke& stroke : one.made.score.measures[m].strokes) {
      for (const Note& note : stroke.notes) {
        if (note.placement->string == fifth_string) continue;
        sum += note.placement->fret;
        ++notes;
      }
    }
  }
  return notes == 0 ? 0 : sum / notes;
}

TEST(Variations, GoUpTheNeckInTheSecondBreakFromLevel3On) {
  int higher = 0;
  int asked = 0;
  for_each_varied([&](const Varied& one) {
    const double first = height_of(one, 0);
    const double second = height_of(one, 1);
    if (one.options.level < 3) return;
    EXPECT_EQ(is_told(one.made.report, "break-not-higher"), second <= first) << first << ' ' << second;
    higher += second > first + 1 ? 1 : 0;
    ++asked;
  });
  EXPECT_GE(higher * 4, asked * 3) << higher << " of " << asked;
}

TEST(Variations, BeginWithTheArrangementThatIsMadeAlone) {
  for_each_varied([](const Varied& one) {
    if (one.options.level % 2 == 0) return;
    ArrangeOptions alone = one.options;
    alone.variations = 1;
    const Score score = arrange(one.melody, alone).score;
    for (std::size_t m = 0; m < score.measures.size(); ++m)
      EXPECT_EQ(places_in(score.measures[m]), places_in(one.made.score.measures[m])) << m;
  });
}

TEST(Seeds, ChooseTheSameAgainAndOthersOtherwise) {
  int other = 0;
  int asked = 0;
  for (std::uint64_t melody = 60; melody < 64; ++melody) {
    const Score source = melody_for_breaks(melody, {4}, 4, melody % 2 == 1);
    for (const Style style : {Style::roll, Style::melodic, Style::single_string, Style::clawhammer}) {
      ArrangeOptions options;
      options.style = style;
      options.level = 2 + static_cast<int>(melody % 2);
      const std::string plain = testing::placements_of(arrange(source, options).score);
      for (const int seed : {1, 7, highest_seed}) {
        options.seed = seed;
        const Score made = arrange(source, options).score;
        EXPECT_EQ(made, arrange(source, options).score);
        EXPECT_EQ(flaws(made), std::vector<std::string>{});
        ++asked;
        if (testing::placements_of(made) != plain) ++other;
      }
    }
  }
  EXPECT_GT(other * 2, asked) << other << " of " << asked;
}

TEST(Variations, AreAsManyAsThereCanBe) {
  const Score source = melody_for_breaks(3, {4}, 4, false);
  ArrangeOptions options;
  options.variations = most_variations;
  EXPECT_EQ(arrange(source, options).score.measures.size(), source.measures.size() * most_variations);
  for (const int wrong : {0, -1, most_variations + 1}) {
    options.variations = wrong;
    EXPECT_THROW(arrange(source, options), UsageError);
  }
  options.variations = 1;
  for (const int wrong : {-1, highest_seed + 1}) {
    options.seed = wrong;
    EXPECT_THROW(arrange(source, options), UsageError);
  }
}

TEST(IsAnother, CountsMeasuresThatArePlayedOtherwise) {
  const auto score = [](const std::vector<int>& frets) {
    Score made;
    for (const int fret : frets) {
      Measure& measure = made.measures.emplace_back();
      measure.length = 1;
      Stroke& stroke = measure.strokes.emplace_back();
      stroke.duration = 1;
      stroke.notes.emplace_back().placement = Placement{1, static_cast<std::int8_t>(fret)};
    }
    return made;
  };
  const Score plain = score({0, 0, 0, 0, 0, 0});
  EXPECT_TRUE(arranging::is_another(plain, {}));
  EXPECT_FALSE(arranging::is_another(score({0, 0, 0, 0, 0, 2}), {plain}));
  EXPECT_TRUE(arranging::is_another(score({0, 0, 0, 0, 2, 2}), {plain}));
  EXPECT_FALSE(arranging::is_another(score({0, 0, 0, 0, 2, 2}), {plain, score({0, 0, 0, 0, 2, 2})}));
  Score fingered = plain;
  for (Measure& measure : fingered.measures)
    measure.strokes[0].notes[0].picking_finger = PickingFinger::index;
  EXPECT_FALSE(arranging::is_another(fingered, {plain}));
}

}  // namespace
}  // namespace fifthpeg
