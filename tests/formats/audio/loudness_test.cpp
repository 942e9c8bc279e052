// The meter against what ITU-R BS.1770-5 and EBU Tech 3341 state.
#include <cmath>
#include <gtest/gtest.h>
#include <numbers>
#include <vector>

#include "formats/audio/heard.hpp"

namespace fifthpeg {
namespace {

// Seconds of a sine at a level, behind what is there already.
void add_sine(std::vector<float>& samples, double hz, double peak_db, double seconds, int rate) {
  const double level = std::pow(10, peak_db / 20);
  const auto count = static_cast<std::size_t>(seconds * rate);
  samples.reserve(samples.size() + count);
  for (std::size_t i = 0; i < count; ++i) {
    const double at = static_cast<double>(samples.size()) / rate;
    samples.push_back(static_cast<float>(level * std::sin(2 * std::numbers::pi * hz * at)));
  }
}

// "If a 0 dB FS, 997 Hz sine wave is applied to the left, center or right channel input, the indicated
// loudness will equal -3.01 LKFS."
TEST(Loudness, OfAFullScaleSine) {
  for (const int rate : {44'100, 48'000}) {
    std::vector<float> samples;
    add_sine(samples, 997, 0, 5, rate);
    EXPECT_NEAR(loudness(samples, rate), -3.01, 0.02) << rate;
  }
}

// Signals of Tech 3341, which are in both channels, in one: 3.01 LU softer, within its 0.1 LU.
TEST(Loudness, OfTheSignalsOfTech3341) {
  constexpr double one_channel = -3.01;
  std::vector<float> first;
  add_sine(first, 1000, -23, 20, 48'000);
  EXPECT_NEAR(loudness(first, 48'000), -23 + one_channel, 0.1);
  std::vector<float> second;
  add_sine(second, 1000, -33, 20, 48'000);
  EXPECT_NEAR(loudness(second, 48'000), -33 + one_channel, 0.1);
  // What is ten LU below the rest does not count.
  std::vector<float> third;
  add_sine(third, 1000, -36, 10, 48'000);
  add_sine(third, 1000, -23, 60, 48'000);
  add_sine(third, 1000, -36, 10, 48'000);
  EXPECT_NEAR(loudness(third, 48'000), -23 + one_channel, 0.1);
  // And silence is below the absolute gate.
  std::vector<float> fourth;
  for (const double level : {-72.0, -36.0, -23.0, -36.0, -72.0}) {
    add_sine(fourth, 1000, level, level == -23.0 ? 60 : 10, 48'000);
  }
  EXPECT_NEAR(loudness(fourth, 48'000), -23 + one_channel, 0.1);
}

// The weighting of frequencies: gains of the filters that the recommendation states, worked out from their
// coefficients for 48 kHz.
TEST(Loudness, WeightsFrequencies) {
  const auto gain = [](double hz, int rate) {
    std::vector<float> samples;
    add_sine(samples, hz, -20, 5, rate);
    return loudness(samples, rate) + 20 + 3.01 + 0.691;
  };
  const auto stated = [](double hz) {
    using Complex = std::complex<double>;
    const Complex z = std::polar(1.0, -2 * std::numbers::pi * hz / 48'000);
    const Complex shelf = (1.53512485958697 - 2.69169618940638 * z + 1.19839281085285 * z * z) /
                          (1.0 - 1.69065929318241 * z + 0.73248077421585 * z * z);
    const Complex high_pass =
        (1.0 - 2.0 * z + z * z) / (1.0 - 1.99004745483398 * z + 0.99007225036621 * z * z);
    return 20 * std::log10(std::abs(shelf * high_pass));
  };
  for (const double hz : {40.0, 100.0, 300.0, 1000.0, 2000.0, 5000.0, 10'000.0}) {
    EXPECT_NEAR(gain(hz, 48'000), stated(hz), 0.02) << hz;
    EXPECT_NEAR(gain(hz, 44'100), stated(hz), 0.1) << hz;
  }
}

TEST(Loudness, OfSilenceIsNone) {
  EXPECT_TRUE(std::isinf(loudness(std::vector<float>(100'000, 0.0F))));
  EXPECT_TRUE(std::isinf(loudness(std::vector<float>{})));
  std::vector<float> shorter;
  add_sine(shorter, 1000, -20, 0.39, sample_rate);
  EXPECT_TRUE(std::isinf(loudness(shorter)));
}

}  // namespace
}  // namespace fifthpeg
