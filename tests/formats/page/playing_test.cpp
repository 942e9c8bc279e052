// What a page plays is the performance, note for note, and stands in it safely.
#include "formats/page/playing.hpp"

#include <cmath>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "fifthpeg/audio.hpp"
#include "fifthpeg/harmony.hpp"
#include "fifthpeg/performance.hpp"
#include "formats/sheet/small_scores.hpp"
#include "property/random_score.hpp"

namespace fifthpeg {
namespace {

using nlohmann::json;

constexpr double tenth_of_a_millisecond = 1e-4;

json piece_of(const Score& score, Report& report) {
  return json::parse(page::playing_json({score}, report)).at("pieces").at(0);
}

class PagePlaying : public ::testing::TestWithParam<int> {};

TEST_P(PagePlaying, IsThePerformance) {
  testing::RandomScoreOptions options;
  options.measures = 12;
  const Score score = testing::RandomScore(static_cast<std::uint64_t>(GetParam()), options).make();
  const Performance performance = perform(score);
  Report report;
  const json piece = piece_of(score, report);

  ASSERT_EQ(piece.at("notes").size(), performance.notes.size());
  const json& strokes = piece.at("strokes");
  for (std::size_t i = 0; i < performance.notes.size(); ++i) {
    const SoundedNote& note = performance.notes[i];
    const json& row = piece.at("notes").at(i);
    EXPECT_NEAR(row.at(1).get<double>(), performance.seconds(note.start), tenth_of_a_millisecond);
    EXPECT_NEAR(row.at(2).get<double>(), performance.seconds(note.end) - performance.seconds(note.start),
                2 * tenth_of_a_millisecond);
    EXPECT_EQ(row.at(5), note.midi);
    EXPECT_EQ(row.at(6), note.velocity);
    const json& stroke = strokes.at(row.at(0).get<std::size_t>());
    EXPECT_EQ(stroke.at(1), note.measure);
    EXPECT_EQ(stroke.at(2), note.stroke);
    EXPECT_EQ(stroke.at(3), note.pass);
    EXPECT_LE(stroke.at(0), row.at(1));
    if (note.string != 0) {
      EXPECT_EQ(row.at(3), static_cast<int>(note.string));
    }
  }
  for (std::size_t i = 1; i < strokes.size(); ++i) EXPECT_LE(strokes.at(i - 1).at(0), strokes.at(i).at(0));

  ASSERT_EQ(piece.at("measures").size(), performance.measures.size());
  for (std::size_t i = 0; i < performance.measures.size(); ++i) {
    const json& row = piece.at("measures").at(i);
    EXPECT_EQ(row.at(0), performance.measures[i].measure);
    EXPECT_EQ(row.at(1), performance.measures[i].pass);
    EXPECT_NEAR(row.at(2).get<double>(), performance.seconds(performance.measures[i].start),
                tenth_of_a_millisecond);
    EXPECT_NEAR(row.at(3).get<double>(), performance.seconds(performance.measures[i].end),
                tenth_of_a_millisecond);
    EXPECT_GT(row.at(4).get<double>(), 0);
    for (std::size_t beat = 7; beat < row.size(); ++beat) {
      EXPECT_GE(row.at(beat).get<double>(), row.at(2).get<double>() - tenth_of_a_millisecond);
      EXPECT_LT(row.at(beat), row.at(3));
    }
  }
  double before = 0;
  for (const json& row : piece.at("backing")) {
    EXPECT_GE(row.at(0).get<double>(), before - tenth_of_a_millisecond);
    EXPECT_GT(row.at(1), 0);
    before = row.at(0).get<double>();
  }
  EXPECT_LE(before, piece.at("seconds").get<double>());
}

INSTANTIATE_TEST_SUITE_P(Random, PagePlaying, ::testing::Range(0, 60));

TEST(PagePlaying, CountsTheBeatsOfACompoundMeter) {
  Score score = testing::quarters(1);
  score.measures[0].meter.beats = {6};
  score.measures[0].meter.unit = 8;
  score.measures[0].length = Fraction(3, 4);
  score.measures[0].strokes.pop_back();
  Report report;
  const json row = piece_of(score, report).at("measures").at(0);
  // Two dotted quarters at 120 quarters a minute, each 0.75 s; a whole measure is counted in.
  EXPECT_EQ(row, json::parse("[0,1,0,1.5,0.75,2,1.5,0,0.75]"));
}

TEST(PagePlaying, SaysThatEndlessRepeatsAreNotPlayed) {
  Score score = testing::quarters(1);
  score.measures[0].repeat_times = 1'000'000'000;
  Report report;
  EXPECT_EQ(piece_of(score, report).at("notes").size(), 4U);
  ASSERT_EQ(report.entries().size(), 1U);
  EXPECT_EQ(report.entries()[0].slug, "page-endless-repeats");
}

// The chords of the second measure begin where it does, the second time, too.
TEST(PagePlaying, HasTheBackingOfPracticeTracks) {
  Score score = testing::quarters(2);
  score.measures[0].chords.push_back(*parse_chord_symbol("G"));
  score.measures[1].chords.push_back(*parse_chord_symbol("D"));
  score.measures[1].repeat_times = 2;
  score.measures[0].tempos.push_back({0, 60, {1, 4}, "", true});
  Report report;
  std::vector<std::pair<double, int>> bass;
  const json piece = piece_of(score, report);
  for (const json& row : piece.at("backing"))
    if (row.at(2) == static_cast<int>(SoundPart::bass)) bass.emplace_back(row.at(0), row.at(4));
  EXPECT_EQ(bass, (std::vector<std::pair<double, int>>{
                      {0, 43}, {2, 50}, {4, 50}, {6, 45}, {8, 43}, {10, 50}, {12, 50}, {14, 45}}));
}

TEST(PagePlaying, CanStandInAScript) {
  Score score = testing::quarters(1);
  score.work.title = "</script><!-- & ' \" \\ ]]>";
  Report report;
  const std::string text = page::playing_json({score}, report);
  EXPECT_EQ(text.find_first_of("<>"), std::string::npos);
  EXPECT_EQ(json::parse(text).at("pieces").at(0).at("title"), score.work.title);
}

}  // namespace
}  // namespace fifthpeg
