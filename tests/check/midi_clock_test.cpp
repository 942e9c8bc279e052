// Measures and beats of ticks: counted by hand for a piece of 4/4, 6/8 and 3/4 at 96 ticks a quarter note.
#include "check/midi_clock.hpp"

#include <gtest/gtest.h>

#include "check/sample.hpp"

namespace {

using namespace check_test;
using fifthpeg::Fraction;
using fifthpeg::check::MidiClock;

std::string words(const MidiClock& clock, std::int64_t tick) {
  return to_string(clock.at(tick));
}

std::string meter(std::initializer_list<int> delta, int beats, int power) {
  return bytes(delta) + bytes({0xFF, 0x58, 4, beats, power, 24, 8});
}

TEST(MidiClock, CountsMeasuresAndBeatsOfEachMeter) {
  // 4/4 for two measures of 384 ticks, 6/8 for a measure of 288, then 3/4.
  const std::string file = midi(meter({0}, 4, 2) + meter({0x86, 0x00}, 6, 3) + meter({0x82, 0x20}, 3, 2) +
                                bytes({0, 0xFF, 0x2F, 0}));
  const fifthpeg::midi::Scan scan = fifthpeg::midi::scan(file);
  ASSERT_TRUE(scan.damage.empty());
  const MidiClock clock(scan);
  EXPECT_EQ(words(clock, 0), "measure 1, beat 1");
  EXPECT_EQ(words(clock, 144), "measure 1, beat 2.5");
  EXPECT_EQ(words(clock, 384), "measure 2, beat 1");
  EXPECT_EQ(words(clock, 768), "measure 3, beat 1");
  EXPECT_EQ(words(clock, 768 + 144), "measure 3, beat 2");  // 6/8 is counted in dotted quarters
  EXPECT_EQ(words(clock, 768 + 288), "measure 4, beat 1");
  EXPECT_EQ(words(clock, 768 + 288 + 288 + 192), "measure 5, beat 3");
}

TEST(MidiClock, AMeterThatChangesInsideAMeasureEndsIt) {
  const std::string file = midi(meter({0}, 4, 2) + meter({0x60}, 3, 2) + bytes({0, 0xFF, 0x2F, 0}));
  const fifthpeg::midi::Scan scan = fifthpeg::midi::scan(file);
  const MidiClock clock(scan);
  EXPECT_EQ(words(clock, 95), "measure 1, beat 1 95/96");
  EXPECT_EQ(words(clock, 96), "measure 2, beat 1");
}

TEST(MidiClock, SaysNothingWhereTicksAreRealTime) {
  const std::string file =
      chunk("MThd", bytes({0, 0, 0, 1, 0xE7, 40})) + chunk("MTrk", bytes({0, 0xFF, 0x2F, 0}));
  const fifthpeg::midi::Scan scan = fifthpeg::midi::scan(file);
  EXPECT_EQ(words(MidiClock(scan), 100), "");
}

}  // namespace
