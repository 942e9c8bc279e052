// What is asked of the strings: all that a performance plays, as its notes say.
#include <algorithm>
#include <cmath>
#include <fstream>
#include <gtest/gtest.h>
#include <iterator>
#include <string>

#include "fifthpeg/audio.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/read.hpp"
#include "hands/scores.hpp"

namespace fifthpeg {
namespace {

Score fixture(const std::string& name) {
  std::ifstream file(std::string(FIXTURES) + "/" + name, std::ios::binary);
  const std::string bytes{std::istreambuf_iterator<char>(file), {}};
  return read(bytes).score;
}

TEST(Sounding, IsWhatThePerformancePlays) {
  const Score score = fixture("lick-slide.musicxml");
  const Performance performance = perform(score);
  const Sounding sounds = sounding(score, performance);
  ASSERT_EQ(sounds.strings.size(), performance.notes.size());
  for (std::size_t i = 0; i < sounds.strings.size(); ++i) {
    const SoundedString& string = sounds.strings[i];
    const SoundedNote& note = performance.notes[i];
    EXPECT_EQ(string.start, performance.seconds(note.start));
    EXPECT_EQ(string.end, performance.seconds(note.end));
    EXPECT_EQ(string.string, note.string);
    EXPECT_EQ(string.midi, note.midi);
    EXPECT_EQ(string.velocity, note.velocity);
  }
  EXPECT_EQ(sounds.seconds, performance.seconds(performance.measures.back().end));
}

TEST(Sounding, BeginsAsNotesDo) {
  const Score score = fixture("lick-slide.musicxml");
  const Sounding sounds = sounding(score, perform(score));
  const auto count = [&](Begin begin) {
    return std::count_if(sounds.strings.begin(), sounds.strings.end(),
                         [&](const SoundedString& one) { return one.begin == begin; });
  };
  EXPECT_EQ(count(Begin::hammer), 1);
  EXPECT_EQ(count(Begin::pull), 1);
  EXPECT_EQ(count(Begin::slide), 1);
  // The slide itself is of the note before.
  const auto slides = std::find_if(sounds.strings.begin(), sounds.strings.end(),
                                   [](const SoundedString& one) { return !one.glides.empty(); });
  ASSERT_NE(slides, sounds.strings.end());
  ASSERT_EQ(slides->glides.size(), 1U);
  EXPECT_EQ(slides->glides[0].cents_to, 200);
  EXPECT_EQ(slides->glides[0].to, slides->end);
  EXPECT_GT(slides->glides[0].from, slides->start);
}

TEST(Sounding, EndsAsNotesDo) {
  Score score = testing::passage("G3 A3 B3 C4 D4", {1, 4});
  finger(score);
  auto& strokes = score.measures[0].strokes;
  for (int i = 0; i < 4; ++i) ASSERT_TRUE(strokes[static_cast<std::size_t>(i)].notes[0].placement);
  strokes[0].notes[0].placement = Placement{3, 0};
  strokes[1].notes[0].placement = Placement{3, 2};
  strokes[2].notes[0].placement = Placement{3, 4};
  strokes[2].notes[0].ring = Ring::damp;
  strokes[3].notes[0].placement = Placement{2, 1};
  strokes[3].notes[0].ring = Ring::let_ring;
  const Sounding sounds = sounding(score, perform(score));
  EXPECT_EQ(sounds.strings[0].stop, Stop::open);
  EXPECT_EQ(sounds.strings[1].stop, Stop::lift);
  EXPECT_EQ(sounds.strings[2].stop, Stop::stop);
  EXPECT_EQ(sounds.strings[3].stop, Stop::open);
  EXPECT_NEAR(sounds.strings[0].length, 1, 1e-9);
  EXPECT_NEAR(sounds.strings[1].length, std::exp2(-2 / 12.0), 1e-9);
}

// A capo is where the string begins, and the fifth string begins at its nut.
TEST(Sounding, KnowsHowLongStringsAre) {
  Score score = testing::passage("A3 A4", {1, 2});
  score.banjo.capo = 2;
  score.banjo.fifth_capo = 7;
  score.measures[0].strokes[0].notes[0].placement = Placement{3, 0};
  score.measures[0].strokes[1].notes[0].placement = Placement{5, 0};
  const Sounding sounds = sounding(score, perform(score));
  EXPECT_NEAR(sounds.strings[0].length, std::exp2(-2 / 12.0), 1e-9);
  EXPECT_NEAR(sounds.strings[1].length, std::exp2(-7 / 12.0), 1e-9);
}

// Notes of a chord that have no places do not end each other.
TEST(Sounding, UnplacedNotesHaveStringsOfTheirOwn) {
  const Score score = testing::passage("G3+B3+D4", {1, 1});
  const Sounding sounds = sounding(score, perform(score));
  ASSERT_EQ(sounds.strings.size(), 3U);
  EXPECT_NE(sounds.strings[0].string, sounds.strings[1].string);
  EXPECT_NE(sounds.strings[1].string, sounds.strings[2].string);
  for (const SoundedString& one : sounds.strings) EXPECT_GT(one.string, 5);
}

TEST(Sounding, HasBackingAndClicksInOrder) {
  const Score score = testing::passage("G3 A3 B3 C4", {1, 4});
  const Score bass = testing::passage("G2 - D2 -", {1, 4});
  const Score chords = testing::passage("- G3+B3 - G3+B3", {1, 4});
  const Sounding sounds =
      sounding(score, std::vector{bass, chords}, {{0, Fraction(1, 2), false}, {0, 0, true}});
  EXPECT_EQ(sounds.strings.size(), 10U);
  EXPECT_TRUE(std::is_sorted(sounds.strings.begin(), sounds.strings.end(),
                             [](const auto& a, const auto& b) { return a.start < b.start; }));
  const auto count = [&](SoundPart part) {
    return std::count_if(sounds.strings.begin(), sounds.strings.end(),
                         [&](const SoundedString& one) { return one.part == part; });
  };
  EXPECT_EQ(count(SoundPart::banjo), 4);
  EXPECT_EQ(count(SoundPart::bass), 2);
  EXPECT_EQ(count(SoundPart::chords), 4);
  ASSERT_EQ(sounds.clicks.size(), 2U);
  EXPECT_TRUE(sounds.clicks[0].accent);
  EXPECT_NEAR(sounds.clicks[1].start, 1, 1e-9);
}

}  // namespace
}  // namespace fifthpeg
