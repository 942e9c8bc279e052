// The parts of the layout by themselves.
#include <cmath>
#include <gtest/gtest.h>
#include <map>
#include <set>

#include "fifthpeg/errors.hpp"
#include "formats/sheet/layout/about.hpp"
#include "formats/sheet/layout/lay_out.hpp"
#include "formats/sheet/layout/line_breaking.hpp"
#include "formats/sheet/layout/phrases.hpp"
#include "formats/sheet/layout/skyline.hpp"
#include "formats/sheet/layout/springs.hpp"
#include "property/random_score.hpp"

namespace fifthpeg::sheet {
namespace {

// Quarter 3 1/2, half 5, whole 7 staff spaces: E. Gould, Behind Bars, London 2011, on spacing (from memory).
TEST(Springs, GapsAreThoseOfEngraversTables) {
  const double quarter = natural_gap(0.25, 0.25, 3.5);
  EXPECT_NEAR(quarter, 3.5, 1e-9);
  EXPECT_NEAR(natural_gap(0.5, 0.25, 3.5), 5, 0.06);
  EXPECT_NEAR(natural_gap(1, 0.25, 3.5), 7, 1e-9);
}

TEST(Springs, FillTheirLineAndNoneIsTooNarrow) {
  testing::Random random(7);
  for (int round = 0; round < 200; ++round) {
    std::vector<Spring> springs;
    double least = 0;
    for (int i = 0; i < random.between(1, 40); ++i) {
      springs.push_back(
          {random.between(0, 90) / 10.0, random.chance(80) ? random.between(1, 100) / 10.0 : 0});
      least += springs.back().least;
    }
    springs.push_back({1, 5});
    least += 1;
    const double width = least + random.between(0, 300);
    EXPECT_NEAR(width_at(springs, stretch_to(springs, width)), width, 1e-6);
    EXPECT_GE(width_at(springs, stretch_to(springs, least / 2)), least - 1e-6);
  }
}

// What every way to break lines costs, by trying them all.
double cheapest_of_all(std::span<const LineItem> items, double width) {
  double best = HUGE_VAL;
  for (unsigned set = 0; set < 1U << (items.size() - 1); ++set) {
    std::vector<std::size_t> ends;
    for (std::size_t i = 0; i + 1 < items.size(); ++i) {
      if ((set >> i & 1U) != 0) ends.push_back(i + 1);
    }
    ends.push_back(items.size());
    best = std::min(best, cost_of_lines(items, ends, width));
  }
  return best;
}

TEST(LineBreaking, IsTheBestOfAllWays) {
  testing::Random random(3);
  for (int round = 0; round < 100; ++round) {
    std::vector<LineItem> items;
    for (int i = 0; i < random.between(1, 11); ++i) {
      LineItem item;
      item.least = random.between(10, 60);
      item.natural = item.least + random.between(0, 40);
      item.opening = random.chance(20) ? 8 : 0;
      item.ends_measure = random.chance(80);
      item.ends_phrase = random.chance(30);
      item.must_break = random.chance(5);
      items.push_back(item);
    }
    const std::vector<std::size_t> ends = break_lines(items, 130);
    EXPECT_NEAR(cost_of_lines(items, ends, 130), cheapest_of_all(items, 130), 1e-9);
  }
}

TEST(LineBreaking, LinesAreEven) {
  const std::vector<LineItem> alike(12, LineItem{30, 40, 0, true, false});
  EXPECT_EQ(break_lines(alike, 165), (std::vector<std::size_t>{4, 8, 12}));
}

TEST(Skylines, KeepWhatReachesFarthest) {
  Skyline above(Skyline::Side::above, 100, 0);
  above.raise(10, 20, -5);
  above.raise(15, 30, -3);
  EXPECT_EQ(above.reach(18, 40), -5);
  EXPECT_EQ(above.reach(25, 40), -3);
  EXPECT_EQ(above.reach(50, 60), 0);
  Skyline below(Skyline::Side::below, 100, 0);
  below.raise(12, 13, 4);
  EXPECT_EQ(above.room_for(below), -9);
}

Score measures(int count) {
  Score score;
  for (int i = 0; i < count; ++i) {
    Measure measure;
    measure.number = std::to_string(i + 1);
    measure.length = 1;
    Stroke rest;
    rest.duration = 1;
    measure.strokes.push_back(rest);
    score.measures.push_back(measure);
  }
  return score;
}

TEST(Phrases, BeginAtLettersDoubleBarsAndRepeats) {
  Score score = measures(8);
  EXPECT_TRUE(phrases_of(score, 0).empty());
  score.measures[2].directions.push_back({0, Direction::Kind::rehearsal, "B"});
  score.measures[4].right_bar = BarStyle::light_light;
  score.measures[6].repeat_times = 2;
  const std::vector<Phrase> phrases = phrases_of(score, 0);
  ASSERT_EQ(phrases.size(), 4U);
  EXPECT_EQ(phrases[0].name, "measures 1 to 2");
  EXPECT_EQ(phrases[1].name, "B: measures 3 to 5");
  EXPECT_EQ(phrases[2].name, "measures 6 to 7");
  EXPECT_EQ(phrases[3].name, "measure 8");
}

TEST(Phrases, HaveAsManyMeasuresAsAskedForAfterAPickup) {
  Score score = measures(5);
  score.measures[0].implicit = true;
  score.measures[0].number = "0";
  for (std::size_t i = 1; i < 5; ++i) score.measures[i].number = std::to_string(i);
  const std::vector<Phrase> phrases = phrases_of(score, 2);
  ASSERT_EQ(phrases.size(), 2U);
  EXPECT_EQ(phrases[0].name, "pickup and measures 1 to 2");
  EXPECT_EQ(phrases[1].name, "measures 3 to 4");
}

TEST(Phrases, AreNamedByTheNumbersThatStandOnPaper) {
  Score score = measures(5);
  score.measures[2].implicit = true;
  score.measures[2].number = "X1";
  score.measures[3].number = "3";
  score.measures[4].number = "4";
  const std::vector<Phrase> phrases = phrases_of(score, 2);
  ASSERT_EQ(phrases.size(), 2U);
  EXPECT_EQ(phrases[0].name, "measures 1 to 2");
  EXPECT_EQ(phrases[1].name, "measures 3 to 4");
  // Behind a repeat sign it is a pickup.
  score.measures[1].repeat_times = 2;
  const std::vector<Phrase> repeated = phrases_of(score, 2);
  ASSERT_EQ(repeated.size(), 2U);
  EXPECT_EQ(repeated[0].name, "measures 1 to 2");
  EXPECT_EQ(repeated[1].name, "pickup and measures 3 to 4");
}

TEST(About, SaysKeyChordsLengthAndPlace) {
  Score score = measures(2);
  score.measures[0].key = score.measures[1].key = {1, Mode::major};
  ChordSymbol chord;
  chord.root = {Step::G, 0};
  score.measures[0].chords.push_back(chord);
  chord.root = {Step::D, 0};
  chord.kind = "dominant";
  score.measures[1].chords.push_back(chord);
  Stroke& stroke = score.measures[0].strokes[0];
  Note note;
  note.pitch = {Step::E, 0, 4};
  note.placement = Placement{1, 2};
  stroke.notes.push_back(note);
  EXPECT_EQ(about(score), "G major; from G to D7; 2 measures of 4/4; fret 2");
}

TEST(About, CountsMeasuresAsTheyAreNumbered) {
  Score score = measures(4);
  score.measures[2].implicit = true;  // behind a repeat sign
  EXPECT_NE(about(score).find("3 measures of 4/4"), std::string::npos) << about(score);
}

TEST(Sheets, RefuseSizesThatNobodyCanRead) {
  SheetOptions options;
  options.size = 0.1;
  EXPECT_THROW(Sheet({measures(1)}, options), UsageError);
}

TEST(Sheets, SayWhereALineIsHigherThanThePage) {
  Score score = measures(1);
  Stroke& stroke = score.measures[0].strokes[0];
  for (int verse = 1; verse <= 120; ++verse) {
    stroke.lyrics.push_back({std::to_string(verse), Syllabic::single, "la"});
  }
  Report report;
  lay_out({score}, {}, report);
  ASSERT_EQ(report.entries().size(), 1U);
  EXPECT_EQ(report.entries()[0].slug, "sheet-too-high");
  EXPECT_EQ(report.entries()[0].places.at(0).measure, "1");
}

// Of several licks none that fits on a page is broken over two.
TEST(Sheets, KeepALickOnOnePage) {
  std::vector<Score> pieces;
  for (std::uint64_t seed = 1; seed <= 9; ++seed) {
    testing::RandomScoreOptions random;
    random.measures = 6;
    pieces.push_back(testing::RandomScore(seed, random).make());
  }
  Report report;
  const Drawing drawing = lay_out(pieces, {}, report);
  EXPECT_GT(drawing.pages.size(), 1U);
  std::map<std::uint32_t, std::set<std::size_t>> pages;
  for (std::size_t page = 0; page < drawing.pages.size(); ++page) {
    for (const Mark& mark : drawing.pages[page].marks) {
      if (mark.stroke) pages[mark.stroke->piece].insert(page);
    }
  }
  EXPECT_EQ(pages.size(), pieces.size());
  for (const auto& [piece, on] : pages) EXPECT_EQ(on.size(), 1U) << "piece " << piece;
}

}  // namespace
}  // namespace fifthpeg::sheet
