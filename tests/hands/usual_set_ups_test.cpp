// What players use for a style and a key: common practice.
#include "hands/usual_set_ups.hpp"

#include <algorithm>
#include <array>
#include <gtest/gtest.h>
#include <set>
#include <string>

namespace fifthpeg {
namespace {

using hands::usual_set_ups;
using hands::UsualSetUp;

constexpr std::array styles{Style::roll, Style::melodic, Style::single_string, Style::clawhammer};

// "gCGCD 2 7": tuning, capo and where the fifth string begins.
std::string text(const UsualSetUp& one) {
  return std::string(one.tuning->spelling) + " " + std::to_string(one.capo) + " " +
         std::to_string(one.fifth_capo);
}

// What players try first.
std::set<std::string> firsts(Style style, std::string_view tonic, bool major) {
  const int pitch_class = parse_pitch(std::string(tonic) + "4")->midi() % 12;
  std::set<std::string> found;
  for (const UsualSetUp& one : usual_set_ups(style, {pitch_class, major})) {
    if (one.rank == 0) found.insert(text(one));
  }
  return found;
}

using Texts = std::set<std::string>;

TEST(UsualSetUps, Clawhammer) {
  const auto first = [](std::string_view tonic, bool major) {
    return firsts(Style::clawhammer, tonic, major);
  };
  EXPECT_EQ(first("D", true), Texts{"gCGCD 2 7"});  // aDADE
  EXPECT_EQ(first("C", true), Texts{"gCGCD 0 5"});
  EXPECT_EQ(first("G", true), Texts{"gDGBD 0 5"});
  EXPECT_EQ(first("A", true), Texts{"gDGBD 2 7"});
  EXPECT_EQ(first("G", false), Texts{"gDGCD 0 5"});
  EXPECT_EQ(first("A", false), Texts{"gDGCD 2 7"});
  EXPECT_EQ(first("D", false), Texts{"gCGCD 2 7"});
  EXPECT_EQ(first("E", false), Texts{"gDGBD 0 5"});
}

TEST(UsualSetUps, Rolls) {
  for (const Style style : {Style::roll, Style::melodic}) {
    const auto first = [style](std::string_view tonic) { return firsts(style, tonic, true); };
    EXPECT_EQ(first("G"), Texts{"gDGBD 0 5"});
    EXPECT_EQ(first("C"), Texts{"gDGBD 0 5"});
    EXPECT_EQ(first("D"), (Texts{"gDGBD 0 5", "gDGBD 2 7"}));
    EXPECT_EQ(first("A"), Texts{"gDGBD 2 7"});
    EXPECT_EQ(first("Bb"), Texts{"gDGBD 3 8"});
    EXPECT_EQ(first("B"), Texts{"gDGBD 4 9"});
    EXPECT_EQ(first("E"), (Texts{"gDGBD 2 9", "gDGBD 4 9"}));
    EXPECT_EQ(first("F"), (Texts{"gDGBD 3 10", "gDGBD 0 10"}));
    EXPECT_EQ(firsts(style, "E", false), Texts{"gDGBD 0 5"});
    EXPECT_EQ(firsts(style, "A", false), Texts{"gDGCD 2 7"});
  }
}

TEST(UsualSetUps, SingleString) {
  EXPECT_EQ(firsts(Style::single_string, "G", true), Texts{"gDGBD 0 5"});
  EXPECT_EQ(firsts(Style::single_string, "C", true), (Texts{"gDGBD 0 5", "gCGBD 0 5"}));
}

TEST(UsualSetUps, EveryKeyHasSomeAndNoneIsOutOfTheWay) {
  for (const Style style : styles) {
    for (int tonic = 0; tonic < 12; ++tonic) {
      for (const bool major : {true, false}) {
        const auto all = usual_set_ups(style, {tonic, major});
        EXPECT_FALSE(all.empty()) << slug(style) << " " << tonic << " " << major;
        EXPECT_TRUE(std::is_sorted(all.begin(), all.end(),
                                   [](const UsualSetUp& a, const UsualSetUp& b) { return a.rank < b.rank; }));
        std::set<std::string> different;
        for (const UsualSetUp& one : all) {
          different.insert(text(one));
          EXPECT_LE(one.capo, 4);
          // Spikes sit at 7, 9 and 10; a half step above the nut or a spike is tuned.
          EXPECT_GE(one.fifth_capo, fifth_nut_fret);
          EXPECT_LE(one.fifth_capo, 10);
          EXPECT_FALSE(one.why.empty());
        }
        EXPECT_EQ(different.size(), all.size()) << slug(style) << " " << tonic << " " << major;
      }
    }
  }
}

}  // namespace
}  // namespace fifthpeg
