// Keys as people write them. Names and signatures: common practice.
#include <gtest/gtest.h>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/harmony.hpp"
#include "fifthpeg/pitch.hpp"

namespace fifthpeg {
namespace {

TEST(Keys, AsPeopleWriteThem) {
  const std::vector<std::pair<const char*, Key>> keys{{"A", {3, Mode::none}},
                                                      {"a", {3, Mode::none}},
                                                      {"Am", {0, Mode::minor}},
                                                      {"a minor", {0, Mode::minor}},
                                                      {"Bb", {-2, Mode::none}},
                                                      {"bb major", {-2, Mode::major}},
                                                      {"F#m", {3, Mode::minor}},
                                                      {"Gm", {-2, Mode::minor}},
                                                      {"E\u266Dmaj", {-3, Mode::major}},
                                                      {"C#", {7, Mode::none}},
                                                      {"D mixolydian", {1, Mode::mixolydian}},
                                                      {"A dor", {1, Mode::dorian}},
                                                      {" E Dorian ", {2, Mode::dorian}},
                                                      {"F lydian", {0, Mode::lydian}},
                                                      {"G#m", {5, Mode::minor}}};
  for (const auto& [text, key] : keys) EXPECT_EQ(parse_key(text), key) << text;
  for (const char* const text : {"", "H", "A#", "Gb minor", "major", "A ma", "Amm", "A 7", "m", "#"})
    EXPECT_EQ(parse_key(text), std::nullopt) << text;
}

TEST(Keys, WhatIsPrintedIsUnderstood) {
  for (int mode = 1; mode < 10; ++mode) {
    for (int fifths = -7; fifths <= 7; ++fifths) {
      const Key key{static_cast<std::int8_t>(fifths), static_cast<Mode>(mode)};
      EXPECT_EQ(parse_key(to_string(key)), key) << to_string(key);
    }
  }
}

TEST(Keys, TheWayToAnotherIsTheSmallerInterval) {
  const auto way = [](const char* from, const char* to) {
    return half_steps_between(*parse_key(from), *parse_key(to));
  };
  EXPECT_EQ(way("G major", "A"), 2);
  EXPECT_EQ(way("A major", "G"), -2);
  EXPECT_EQ(way("G major", "D"), -5);
  EXPECT_EQ(way("D major", "G"), 5);
  EXPECT_EQ(way("C major", "F#"), 6);
  EXPECT_EQ(way("Em", "Am"), 5);
  EXPECT_EQ(way("A dorian", "D minor"), 5);
  EXPECT_EQ(way("D mixolydian", "D major"), 0);
  EXPECT_EQ(way("Bb", "B"), 1);
  EXPECT_THROW(way("G major", "Am"), UnplayableError);
  EXPECT_THROW(way("A dorian", "D major"), UnplayableError);
}

}  // namespace
}  // namespace fifthpeg
