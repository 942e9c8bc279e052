// What of a text cannot be read is refused, with the line and the column where it stands.
#include "fifthpeg/errors.hpp"

#include <gtest/gtest.h>
#include <string>

#include "fifthpeg/read.hpp"

namespace fifthpeg::testing {
namespace {

std::string refusal_of(const std::string& text, const ReadOptions& options = {}) {
  try {
    read(text, options);
  } catch (const ReadError& error) {
    return error.code() + " at " + to_string(error.place());
  }
  return "read";
}

// One measure, with a text for the third string.
std::string with_third(const std::string& third) {
  return "Tuning: gDGBD\nKey: G\nMeter: 4/4\n\n"
         "d|-----------------|\n"
         "B|-----------------|\n"
         "G|" +
         third +
         "|\n"
         "D|-----------------|\n"
         "g|-----------------|\n";
}

TEST(TextTabErrors, ASignThatIsNone) {
  EXPECT_EQ(refusal_of(with_third("-0---t----0---0--")), "text-tab-sign at line 7, column 8");
}

TEST(TextTabErrors, AFretThatIsNone) {
  EXPECT_EQ(refusal_of(with_third("-0---35---0---0--")), "text-tab-fret at line 7, column 8");
  EXPECT_EQ(refusal_of(with_third("-0---123--0---0--")), "text-tab-figures at line 7, column 8");
}

TEST(TextTabErrors, AFretThatTheStringDoesNotHave) {
  const std::string text =
      "Tuning: gDGBD\nCapo: 18\nKey: G\nMeter: 4/4\n\n"
      "d|-0-------7-------|\nB|-----------------|\nG|-----------------|\nD|-----------------|\n"
      "g|-----------------|\n";
  EXPECT_EQ(refusal_of(text), "text-tab-fret at line 6, column 12");
}

TEST(TextTabErrors, ChokesAndBracketsWithoutTheirEnd) {
  EXPECT_EQ(refusal_of(with_third("-7b5-------------")), "text-tab-choke at line 7, column 5");
  EXPECT_EQ(refusal_of(with_third("-(7--------------")), "text-tab-sign at line 7, column 4");
  EXPECT_EQ(refusal_of(with_third("-<7--------------")), "text-tab-sign at line 7, column 4");
}

TEST(TextTabErrors, LinesThatAreNotFive) {
  const std::string line = "|-0---0---0---0---|\n";
  EXPECT_EQ(refusal_of("x\n\n" + line + line + line + line), "text-tab-line-count at line 3");
  EXPECT_EQ(refusal_of(line + line + line + line + line + line), "text-tab-line-count at line 1");
  EXPECT_EQ(refusal_of(line + line + line + line + line), "read");
}

TEST(TextTabErrors, BarlinesThatAreNotAsMany) {
  EXPECT_EQ(refusal_of(with_third("-0------|--------")), "text-tab-bars at line 7, column 20");
}

TEST(TextTabErrors, SpacingThatTellsNothing) {
  // More notes than there are thirty-seconds.
  std::string text = "Meter: 4/4\n\nd|";
  for (int i = 0; i < 35; ++i) text += "-0";
  text += "-0--0-|\n";
  const std::string rest(76, '-');
  for (const char* name : {"B|", "G|", "D|", "g|"}) text += name + rest + "|\n";
  EXPECT_EQ(refusal_of(text), "text-tab-spacing at line 3, column 4");
}

TEST(TextTabErrors, HeadingsThatCannotBe) {
  const std::string tab =
      "\n|-0---0---0---0---|\n|-----------------|\n|-----------------|\n|-----------------|\n"
      "|-----------------|\n";
  EXPECT_EQ(refusal_of("Tuning: sideways\n" + tab), "text-tab-heading at line 1, column 1");
  EXPECT_EQ(refusal_of("A lick   Capo: 44\n" + tab), "text-tab-heading at line 1, column 10");
  EXPECT_EQ(refusal_of("Meter: 4/5\n" + tab), "text-tab-heading at line 1, column 1");
  EXPECT_EQ(refusal_of("Tempo: lively\n" + tab), "read");
}

TEST(TextTabErrors, ValuesThatDoNotAddUp) {
  EXPECT_EQ(refusal_of("Meter: 3/4\n\n   Q   Q   Q   Q\nd|-0---0---0---0-|-0--|\nB|---------------|----|\n"
                       "G|---------------|----|\nD|---------------|----|\ng|---------------|----|\n"
                       "\n   Q   Q   Q   Q\nd|-0---0---0---0-|\nB|---------------|\nG|---------------|\n"
                       "D|---------------|\ng|---------------|\n"),
            "text-tab-values at line 11, column 4");
}

TEST(TextTabErrors, WhatIsTooLarge) {
  ReadOptions small;
  small.max_bytes = 10;
  EXPECT_EQ(refusal_of(with_third("-0---------------"), small), "input-too-large at ");
  const std::string line = "|" + std::string(200'000, '-') + "|\n";
  EXPECT_EQ(refusal_of(line + line + line + line + line).substr(0, 22), "text-tab-line-too-long");
}

// ---- what a column stands for ------------------------------------------------------------------------

Fraction second_onset(const ReadOptions& options) {
  const Reading reading = read(with_third("-0-2-------------"), options);
  return reading.score.measures.front().strokes.at(1).onset;
}

TEST(TextTabUnit, IsFoundOrStated) {
  EXPECT_EQ(second_onset({}), Fraction(1, 8));
  ReadOptions options;
  options.unit = Fraction(1, 16);
  EXPECT_EQ(second_onset(options), Fraction(1, 8));
  options.unit = Fraction(1, 8);
  options.meter = Meter{{8}, 4};
  EXPECT_EQ(second_onset(options), Fraction(1, 4));
  options.unit = Fraction(1, 7 * 3);
  EXPECT_THROW(second_onset(options), UsageError);
}

}  // namespace
}  // namespace fifthpeg::testing
