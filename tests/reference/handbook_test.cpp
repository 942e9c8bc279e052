// Facts that stand in every handbook, held against the library.
#include <array>
#include <cmath>
#include <gtest/gtest.h>

#include "fifthpeg/banjo.hpp"

namespace fifthpeg {
namespace {

// Distances from the nut to frets 1 to 12 on a scale of 25.5 inches, to a thousandth of an inch, as
// luthiers' suppliers print them (from memory).
constexpr double table_scale_in = 25.5;
constexpr std::array table_in{1.431, 2.782, 4.057,  5.261,  6.397,  7.469,
                              8.481, 9.436, 10.338, 11.189, 11.992, 12.750};

TEST(FretGeometry, AgreesWithALuthiersTable) {
  for (int fret = 1; fret <= 12; ++fret) {
    EXPECT_NEAR(fret_position_mm(fret, table_scale_in * 25.4) / 25.4,
                table_in.at(static_cast<std::size_t>(fret - 1)), 0.0006)
        << "fret " << fret;
  }
}

// Each fret lies 1/17.817 of the rest of the string further on: the luthiers' rule, which refined the rule
// of eighteen (common practice).
TEST(FretGeometry, FollowsTheLuthiersRule) {
  double at = 0;
  for (int fret = 1; fret <= 22; ++fret) {
    at += (usual_scale_length_mm - at) / 17.817;
    EXPECT_NEAR(fret_position_mm(fret), at, 0.05) << "fret " << fret;
  }
}

// Half the string sounds an octave higher, a quarter of it two octaves; a fifth and a fourth lie within two
// thousandths of the ratios 2/3 and 3/4 in equal temperament (common practice).
TEST(FretGeometry, HalvesTheStringAtTheOctave) {
  EXPECT_DOUBLE_EQ(fret_position_mm(0), 0);
  EXPECT_DOUBLE_EQ(fret_position_mm(12), usual_scale_length_mm / 2);
  EXPECT_DOUBLE_EQ(fret_position_mm(24), usual_scale_length_mm * 3 / 4);
  EXPECT_NEAR(fret_position_mm(7) / usual_scale_length_mm, 1.0 / 3, 0.002);
  EXPECT_NEAR(fret_position_mm(5) / usual_scale_length_mm, 1.0 / 4, 0.002);
}

// A 26 1/4 inch banjo (common practice), rounded to whole millimeters.
TEST(FretGeometry, KnowsTheUsualScale) {
  EXPECT_NEAR(usual_scale_length_mm, 26.25 * 25.4, 0.5);
}

// Equal temperament from A4 = 440 Hz (ISO 16): a string shortened to a fret sounds that many half steps
// higher.
TEST(FretGeometry, GivesEqualTemperament) {
  const double open_d = 440 * std::exp2((open_g().open(1).midi() - 69) / 12.0);
  EXPECT_NEAR(open_d, 293.66, 0.005);  // D4
  const double stopped = open_d * usual_scale_length_mm / (usual_scale_length_mm - fret_position_mm(7));
  EXPECT_NEAR(stopped, 440, 1e-9);  // A4 at fret 7
}

// g4 D3 G3 B3 D4, strings 5 to 1 (common practice).
TEST(OpenG, SoundsAsInEveryTutor) {
  const Banjo banjo;
  const std::array sounding{62, 59, 55, 50, 67};
  for (int string = 1; string <= string_count; ++string) {
    EXPECT_EQ(banjo.open_midi(string), sounding.at(static_cast<std::size_t>(string - 1)));
  }
  EXPECT_EQ(banjo.midi_at({fifth_string, 7}), 69);
  EXPECT_EQ(banjo.midi_at({fifth_string, 5}), std::nullopt);
}

}  // namespace
}  // namespace fifthpeg
