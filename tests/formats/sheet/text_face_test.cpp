// Sizes of texts in the text face.
#include "formats/sheet/text_face.hpp"

#include <gtest/gtest.h>

namespace fifthpeg::sheet {
namespace {

constexpr double near = 0.002;  // mm: Pango's and FreeType's units at the size that they measure at

TEST(TextFace, FiguresAreAsWideAsEachOther) {
  TextFace face;
  const TextStyle style{.size = 3};
  const double one = face.size_of("0", style).width;
  EXPECT_NEAR(face.size_of("000", style).width, 3 * one, near);
  for (const char* figure : {"1", "2", "3", "4", "5", "6", "7", "8", "9"}) {
    EXPECT_NEAR(face.size_of(figure, style).width, one, near) << figure;
  }
}

TEST(TextFace, SizesAreThoseOfNotoSans) {
  TextFace face;
  // In the font a zero is 572 of 1000 wide; its ink is from 49 to 523, and from 10 below to 724 above.
  const TextSize& zero = face.size_of("0", {.size = 10});
  EXPECT_NEAR(zero.width, 5.72, near);
  EXPECT_NEAR(zero.left, 0.49, 0.01);
  EXPECT_NEAR(zero.right, 5.23, 0.01);
  EXPECT_NEAR(zero.ascent, 7.24, 0.01);
  EXPECT_NEAR(zero.descent, 0.1, 0.01);
  EXPECT_TRUE(zero.complete);
}

TEST(TextFace, SizesGrowWithTheFont) {
  TextFace face;
  const TextSize small = face.size_of("Pull-off", {.size = 2.5});
  const TextSize large = face.size_of("Pull-off", {.size = 10});
  EXPECT_NEAR(large.width, 4 * small.width, 4 * near);
  EXPECT_NEAR(large.right, 4 * small.right, 4 * near);
  EXPECT_NEAR(large.ascent, 4 * small.ascent, 4 * near);
  EXPECT_NEAR(large.descent, 4 * small.descent, 4 * near);
}

TEST(TextFace, BoldIsWiderAndItalicIsAnother) {
  TextFace face;
  const double plain = face.size_of("melody", {.size = 4}).width;
  EXPECT_GT(face.size_of("melody", {.size = 4, .bold = true}).width, plain);
  EXPECT_LT(face.size_of("melody", {.size = 4, .italic = true}).width, plain);
}

TEST(TextFace, ASpaceHasAWidthButNoInk) {
  TextFace face;
  const TextSize& space = face.size_of(" ", {.size = 4});
  EXPECT_GT(space.width, 0.5);
  EXPECT_EQ(space.left, 0);
  EXPECT_EQ(space.right, 0);
  EXPECT_EQ(space.ascent, 0);
  EXPECT_EQ(face.size_of("", {.size = 4}).width, 0);
}

TEST(TextFace, WhatHasBeenMeasuredStaysWhereItIs) {
  TextFace face;
  const TextSize* const first = &face.size_of("first", {});
  for (int i = 0; i < 1000; ++i) face.size_of(std::to_string(i), {});
  EXPECT_EQ(first, &face.size_of("first", {}));
  EXPECT_EQ(first->width, TextFace().size_of("first", {}).width);
}

TEST(TextFace, ItIsSaidWhatNoFaceHas) {
  TextFace face;
  EXPECT_TRUE(face.size_of("Größe ¾", {}).complete);
  EXPECT_TRUE(face.size_of("\xD7\xA9\xD7\x9C\xD7\x95\xD7\x9D", {}).complete);  // Hebrew
  EXPECT_FALSE(face.size_of("\xF4\x80\x80\x80", {}).complete);                 // U+100000, for private use
}

TEST(TextFace, AnythingIsOneLine) {
  TextFace face;
  const TextSize expected = face.size_of("one two", {});
  for (const char* text :
       {"one\ntwo", "one\rtwo", "one\xE2\x80\xA8two", "one\xE2\x80\xA9two", "one\x01two"}) {
    EXPECT_NEAR(face.size_of(text, {}).width, expected.width, near) << text;
    EXPECT_NEAR(face.size_of(text, {}).ascent, expected.ascent, near) << text;
  }
  EXPECT_GT(face.size_of("not \xFF UTF-8", {}).width, 0);
}

TEST(TextFace, LinesAreBrokenAtSpacesAndNoneIsTooWide) {
  TextFace face;
  const TextStyle style{.size = 4};
  const std::string text =
      "Slide into the second string and pinch the outer ones, then roll on without a rest.";
  const std::vector<std::string> lines = face.wrapped(text, style, 50);
  EXPECT_GT(lines.size(), 2U);
  std::string together;
  for (const std::string& line : lines) {
    EXPECT_LE(face.size_of(line, style).width, 50) << line;
    together += (together.empty() ? "" : " ") + line;
  }
  EXPECT_EQ(together, text);
}

TEST(TextFace, AWordThatIsTooWideIsBroken) {
  TextFace face;
  const std::vector<std::string> lines = face.wrapped(std::string(60, 'm'), {.size = 4}, 50);
  EXPECT_GT(lines.size(), 2U);
  std::string together;
  for (const std::string& line : lines) {
    EXPECT_LE(face.size_of(line, {.size = 4}).width, 50);
    together += line;
  }
  EXPECT_EQ(together, std::string(60, 'm'));
}

TEST(TextFace, WhatFitsIsOneLine) {
  TextFace face;
  EXPECT_EQ(face.wrapped("  Old Joe ", {.size = 4}, 100), std::vector<std::string>{"Old Joe"});
  EXPECT_EQ(face.wrapped("", {.size = 4}, 100), std::vector<std::string>{""});
}

}  // namespace
}  // namespace fifthpeg::sheet
