// Fractions as decimal numbers, and back.
#include "formats/musicxml/decimal.hpp"

#include <cstdint>
#include <gtest/gtest.h>
#include <string>

#include "property/random_score.hpp"

namespace fifthpeg::musicxml {
namespace {

TEST(Decimals, AreExactWhereTheyEnd) {
  EXPECT_EQ(recoverable_decimal(120), "120");
  EXPECT_EQ(recoverable_decimal({185, 2}), "92.5");
  EXPECT_EQ(recoverable_decimal({1, 8}), "0.125");
  EXPECT_EQ(recoverable_decimal({1, 512}), "0.001953125");
}

TEST(Decimals, HaveEnoughPlacesToBeFoundAgain) {
  EXPECT_EQ(recoverable_decimal({1, 3}), "0.3333333333");
  EXPECT_EQ(recoverable_decimal({2, 3}), "0.6666666667");
  EXPECT_EQ(recoverable_decimal({1, 1024}), "0.0009765625");
  // 500001 microseconds a quarter, as a MIDI file may have it: 60000000/500001 = 119.99976...
  EXPECT_EQ(recoverable_decimal({60'000'000, 500'001}), "119.99976000048");
}

TEST(Decimals, FractionsAreFoundAgain) {
  testing::Random random(1);
  for (int i = 0; i < 20'000; ++i) {
    // Any tempo of a MIDI file, whose microseconds a quarter have 24 bits, and others as fine.
    const Fraction midi(60'000'000, random.between(1, (1 << 24) - 1));
    ASSERT_EQ(fraction_of_decimal(recoverable_decimal(midi)), midi);
    const Fraction fine(static_cast<std::int64_t>(random.next() >> 46),
                        static_cast<std::int64_t>(random.next() >> 42) + 1);
    ASSERT_EQ(fraction_of_decimal(recoverable_decimal(fine)), fine);
  }
  EXPECT_EQ(fraction_of_decimal("92.5"), Fraction(185, 2));
  EXPECT_EQ(fraction_of_decimal("0.333333333"), Fraction(333'333'333, 1'000'000'000));
  EXPECT_EQ(fraction_of_decimal("0.3333333333"), Fraction(1, 3));
  EXPECT_EQ(fraction_of_decimal("0"), Fraction(0));
  EXPECT_EQ(fraction_of_decimal("120."), Fraction(120));
  for (const char* none : {"", ".", "-1", "1.2.3", "1e3", "0000000000000000000000000000000000000"}) {
    EXPECT_FALSE(fraction_of_decimal(none)) << none;
  }
}

// XML Schema part 2 lets validators stop at 18 digits.
TEST(Decimals, HaveNoMoreDigitsThanValidatorsTake) {
  testing::Random random(2);
  for (int i = 0; i < 20'000; ++i) {
    const Fraction value(static_cast<std::int64_t>(random.next() >> random.between(5, 60)) + 1,
                         static_cast<std::int64_t>(random.next() >> random.between(1, 60)) + 1);
    const std::string text = recoverable_decimal(value);
    ASSERT_LE(text.size(), 19U) << text;
    ASSERT_NE(text.back(), '.');
    ASSERT_NEAR(std::stod(text), value.to_double(), value.to_double() * 1e-9 + 1e-9);
  }
}

TEST(Decimals, ShortOnesAreRounded) {
  EXPECT_EQ(short_decimal({80, 1}, 2), "80");
  EXPECT_EQ(short_decimal({185, 2}, 2), "92.5");
  EXPECT_EQ(short_decimal({1, 3}, 2), "0.33");
  EXPECT_EQ(short_decimal({1999, 1000}, 2), "2");
  EXPECT_EQ(short_decimal({99'999, 100}, 1), "1000");
}

}  // namespace
}  // namespace fifthpeg::musicxml
