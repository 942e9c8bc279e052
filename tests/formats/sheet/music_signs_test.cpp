// The outlines of the signs of music.
#include "formats/sheet/music_signs.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <gtest/gtest.h>
#include <sstream>
#include <string>
#include <vector>

namespace fifthpeg::sheet {
namespace {

struct Extent {
  double left = 1e9, top = 1e9, right = -1e9, bottom = -1e9;

  void add(double x, double y) {
    left = std::min(left, x);
    right = std::max(right, x);
    top = std::min(top, y);
    bottom = std::max(bottom, y);
  }
};

double on_curve(double a, double b, double c, double d, double t) {
  const double s = 1 - t;
  return s * s * s * a + 3 * s * s * t * b + 3 * s * t * t * c + t * t * t * d;
}

// Of the ink of a path, by walking along it; fails where it is not what music_signs.hpp says.
Extent walked(std::string_view path) {
  Extent extent;
  std::istringstream words{std::string(path)};
  std::string word;
  char letter = 0;
  double x = 0;
  double y = 0;
  while (words >> letter) {
    std::array<double, 6> at{};
    const std::size_t numbers = letter == 'C' ? 6 : letter == 'Z' ? 0 : 2;
    EXPECT_NE(std::string("MLCZ").find(letter), std::string::npos) << letter;
    for (std::size_t i = 0; i < numbers; ++i) EXPECT_TRUE(words >> at[i]);
    if (letter == 'Z') continue;
    if (letter == 'C') {
      for (int i = 1; i < 200; ++i) {
        const double t = i / 200.0;
        extent.add(on_curve(x, at[0], at[2], at[4], t), on_curve(y, at[1], at[3], at[5], t));
      }
    }
    x = at[numbers - 2];
    y = at[numbers - 1];
    extent.add(x, y);
  }
  EXPECT_EQ(path.front(), 'M');
  EXPECT_EQ(path.back(), 'Z');
  return extent;
}

std::vector<MusicSign> all_signs() {
  std::vector<MusicSign> signs;
  for (int i = 0; i < static_cast<int>(MusicSign::count); ++i) signs.push_back(static_cast<MusicSign>(i));
  return signs;
}

double height_of(MusicSign sign) {
  return outline_of(sign).bottom - outline_of(sign).top;
}

TEST(MusicSigns, EachHasTheExtentThatItIsSaidToHave) {
  for (const MusicSign sign : all_signs()) {
    const SignOutline& outline = outline_of(sign);
    ASSERT_FALSE(outline.path.empty()) << static_cast<int>(sign);
    const Extent extent = walked(outline.path);
    EXPECT_NEAR(extent.left, outline.left, 0.002) << static_cast<int>(sign);
    EXPECT_NEAR(extent.top, outline.top, 0.002) << static_cast<int>(sign);
    EXPECT_NEAR(extent.right, outline.right, 0.002) << static_cast<int>(sign);
    EXPECT_NEAR(extent.bottom, outline.bottom, 0.002) << static_cast<int>(sign);
  }
}

TEST(MusicSigns, HeadsFillASpace) {
  for (const MusicSign head : {MusicSign::whole_head, MusicSign::half_head, MusicSign::black_head}) {
    EXPECT_NEAR(outline_of(head).top, -0.5, 0.01);
    EXPECT_NEAR(outline_of(head).bottom, 0.5, 0.01);
    EXPECT_EQ(outline_of(head).left, 0);
  }
  EXPECT_NEAR(outline_of(MusicSign::black_head).right, 1.18, 0.1);
}

TEST(MusicSigns, RestsHangSitAndStandWhereTheyShould) {
  const SignOutline& whole = outline_of(MusicSign::whole_rest);
  EXPECT_NEAR(whole.top, 0, 0.06);  // half of a line
  EXPECT_NEAR(whole.bottom, 0.5, 0.01);
  const SignOutline& half = outline_of(MusicSign::half_rest);
  EXPECT_NEAR(half.top, -0.5, 0.01);
  EXPECT_NEAR(half.bottom, 0, 0.06);
  for (const MusicSign rest : {MusicSign::quarter_rest, MusicSign::eighth_rest, MusicSign::sixteenth_rest}) {
    EXPECT_NEAR(outline_of(rest).top, -outline_of(rest).bottom, 0.05);
  }
  double before = height_of(MusicSign::eighth_rest);
  for (const MusicSign rest : {MusicSign::sixteenth_rest, MusicSign::thirty_second_rest,
                               MusicSign::sixty_fourth_rest, MusicSign::hundred_twenty_eighth_rest}) {
    EXPECT_NEAR(height_of(rest), before + 1, 0.05);  // each has a hook more, a space away
    before = height_of(rest);
  }
}

TEST(MusicSigns, AccidentalsStandAroundTheirLine) {
  for (const MusicSign sign : {MusicSign::sharp, MusicSign::natural, MusicSign::double_sharp}) {
    EXPECT_NEAR(outline_of(sign).top, -outline_of(sign).bottom, 0.05);
  }
  for (const MusicSign sign : {MusicSign::flat, MusicSign::double_flat}) {
    EXPECT_NEAR(outline_of(sign).bottom, 0.75, 0.1);  // the belly
    EXPECT_LT(outline_of(sign).top, -1.5);
  }
}

TEST(MusicSigns, FlagsHangFromTheStemsEnd) {
  EXPECT_EQ(outline_of(MusicSign::up_flag).left, 0);
  EXPECT_EQ(outline_of(MusicSign::up_flag).top, 0);
  EXPECT_EQ(outline_of(MusicSign::down_flag).left, 0);
  EXPECT_EQ(outline_of(MusicSign::down_flag).bottom, 0);
  EXPECT_EQ(height_of(MusicSign::up_flag), height_of(MusicSign::down_flag));
}

TEST(MusicSigns, TheClefIsCenteredOnTheGLine) {
  const SignOutline& clef = outline_of(MusicSign::g_clef);
  EXPECT_LT(clef.top, -3);    // above the staff's top line, which is three spaces above
  EXPECT_GT(clef.bottom, 1);  // below its bottom line
}

TEST(MusicSigns, AllOthersStandOnTheirFoot) {
  for (const MusicSign sign :
       {MusicSign::common_time, MusicSign::cut_time, MusicSign::segno, MusicSign::coda, MusicSign::fermata}) {
    EXPECT_EQ(outline_of(sign).bottom, 0);
    EXPECT_EQ(outline_of(sign).left, 0);
  }
}

}  // namespace
}  // namespace fifthpeg::sheet
