// What is told of a text, and where.
#include <fstream>
#include <gtest/gtest.h>
#include <iterator>
#include <string>
#include <vector>

#include "fifthpeg/read.hpp"
#include "fifthpeg/write.hpp"

namespace fifthpeg::testing {
namespace {

std::vector<std::int64_t> lines_of(const Report& report, const std::string& slug) {
  std::vector<std::int64_t> lines;
  for (const Entry& entry : report.entries()) {
    if (entry.slug != slug) continue;
    for (const Place& place : entry.places) lines.push_back(place.line);
  }
  return lines;
}

std::string text_of(const Report& report, const std::string& slug) {
  for (const Entry& entry : report.entries()) {
    if (entry.slug == slug) return entry.text;
  }
  return {};
}

std::string measure_named(const std::string& chord) {
  return "   " + chord +
         "\nd|-----0-------0---|\nB|---0-----0-------|\nG|-0---------0-----|\nD|-----------------|\n"
         "g|-------0-------0-|\n";
}

std::string first_chord(const std::string& text) {
  const Reading reading = read(text);
  return to_string(reading.score.measures.front().chords.front());
}

TEST(TextTabTold, WhatIsLeftOutComesInTheOrderOfTheFile) {
  std::ifstream file(FIXTURES "/mailed-lick.txt", std::ios::binary);
  const std::string mail{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
  EXPECT_EQ(lines_of(read(mail).report, "text-tab-text"), (std::vector<std::int64_t>{1, 3, 14, 23}));
}

// A line of which nothing is left but a mail program's mark is as empty as any: what stands above it is not
// of the tab below.
TEST(TextTabTold, AnEmptyLineThatIsQuoted) {
  const std::string tab =
      "> d|-----0-------0---|\n> B|---0-----0-------|\n> G|-0---------0-----|\n> D|-----------------|\n"
      "> g|-------0-------0-|\n>    1 & 2 & 3 & 4 &\n";
  for (const std::string empty : {"", "> ", ">", "> > ", "> \x01"}) {
    const Reading reading = read("> Hello,\n>       from Tuesday\n" + empty + "\n" + tab);
    EXPECT_EQ(lines_of(reading.report, "text-tab-text"), (std::vector<std::int64_t>{1, 2})) << empty;
    EXPECT_TRUE(reading.score.measures.front().directions.empty()) << empty;
  }
}

// People part what they say with as many blanks as they like.
TEST(TextTabTold, TwoBlanksPartEntriesOfAHeading) {
  for (const std::string gap : {"  ", "   ", "     "}) {
    const Reading reading =
        read("Title: Two  of  them" + gap + "Capo 2\nKey: D major" + gap + "Meter: 3/4" + gap +
             "Tempo: 90\n\nd|-0-0-0-|\nB|-------|\nG|-------|\nD|-------|\ng|-------|\n");
    const Measure& first = reading.score.measures.front();
    EXPECT_EQ(to_string(first.meter), "3/4") << gap.size();
    EXPECT_EQ(to_string(first.key), "D major") << gap.size();
    EXPECT_FALSE(reading.score.key_estimated) << gap.size();
    EXPECT_EQ(reading.score.banjo.capo, 2) << gap.size();
    EXPECT_EQ(reading.score.work.title, "Two  of  them") << gap.size();
  }
  // No entry follows, and one blank is one of a sentence.
  const std::string tab = "\n\nd|-0-0-0-|\nB|-------|\nG|-------|\nD|-------|\ng|-------|\n";
  EXPECT_EQ(read("Title: Slow  down" + tab).score.work.title, "Slow  down");
  EXPECT_EQ(read("Title: Slow Key: D" + tab).score.work.title, "Slow Key: D");
}

TEST(TextTabTold, ChordNamesUnderACapo) {
  // The notes of an open G that the capo makes an A.
  EXPECT_EQ(first_chord("Capo 2\n\n" + measure_named("G")), "A");
  EXPECT_EQ(first_chord("Capo 2\n\n" + measure_named("A")), "A");
  EXPECT_EQ(first_chord("Capo 0\n\n" + measure_named("G")), "G");
  EXPECT_EQ(
      text_of(read("Capo 2\n\n" + measure_named("A")).report, "text-tab-chord-names"),
      "with the capo at fret 2, the chord names are read as what sounds, since the notes agree with that");
  EXPECT_EQ(text_of(read("Capo 0\n\n" + measure_named("G")).report, "text-tab-chord-names"), "");
}

// No note is of either chord: players write shapes, and a heading may say that these are none.
TEST(TextTabTold, ChordNamesThatNoNoteAgreesWith) {
  const std::string empty =
      "Capo: 2\n\n   G\n|-----------------|\n|-----------------|\n|-----------------|\n"
      "|-2---------------|\n|-----------------|\n";
  EXPECT_EQ(first_chord(empty), "A");
  EXPECT_EQ(first_chord("Chord names: as they sound\n" + empty), "G");
}

TEST(TextTabTold, ChordNamesOfWhatIsWrittenReadBack) {
  Score score = read("Capo: 2\n\n" + measure_named("A")).score;
  score.measures.front().chords.front() = *parse_chord_symbol("G");
  StringSink sink;
  write_text_tab(score, {}, sink);
  const std::string& text = sink.str();
  EXPECT_NE(text.find("Chord names: as they sound"), std::string::npos) << text;
  EXPECT_EQ(first_chord(text), "G");
}

TEST(TextTabTold, ARepeatThatIsWrittenAsTimes) {
  const std::string rest = "|-----------------|\n";
  const Reading reading = read("Meter: 4/4\n\n|-0---0---0---0---| x2\n" + rest + rest + rest + rest);
  EXPECT_EQ(text_of(reading.report, "text-tab-repeat"),
            "'x2' behind a line is read as a repeat sign at its end: played 2 times");
  EXPECT_EQ(reading.score.measures.back().repeat_times, 2);
}

TEST(TextTabTold, BracketsWithoutTheirNumber) {
  const Reading reading = read(
      "Meter: 4/4\n\n"
      "  [------]        [------][------\n"
      "d|-0--0--|-0--0--|-2--2--|-0--0--||\nB|-------|-------|-------|-------||\n"
      "G|-------|-------|-------|-------||\nD|-------|-------|-------|-------||\n"
      "g|-------|-------|-------|-------||\n");
  EXPECT_NE(text_of(reading.report, "text-tab-ending-number"), "");
  const auto& measures = reading.score.measures;
  ASSERT_EQ(measures.size(), 4U);
  EXPECT_EQ(measures[0].ending, (Ending{{1}, true, Ending::Stop::closed}));
  EXPECT_FALSE(measures[1].ending);
  EXPECT_EQ(measures[2].ending, (Ending{{1}, true, Ending::Stop::closed}));
  EXPECT_EQ(measures[3].ending, (Ending{{2}, true, Ending::Stop::open}));
}

}  // namespace
}  // namespace fifthpeg::testing
