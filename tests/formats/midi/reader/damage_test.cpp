// Damaged files: read or refused, never a crash, and what is read is sound.
#include <cstdlib>
#include <gtest/gtest.h>
#include <random>
#include <string>

#include "fifthpeg/errors.hpp"
#include "formats/midi/reader/support.hpp"

namespace {

using fifthpeg::ReadError;
using fifthpeg::ReadOptions;
using namespace smf_bytes;

// A bit of everything: names, maps, triplets, chords, bends, strings, system exclusive, running status.
std::string specimen() {
  Track conductor;
  conductor.name("Specimen").tempo(0, 500'000).meter(0, 4, 2).key(0, 1).meta(0, 2, "c").meta(480, 6, "G7");
  conductor.tempo(1000, 400'000).meter(1920, 6, 3).meta(1920, 6, "B").meter(3360, 3, 2);
  Track banjo;
  banjo.name("Banjo").meta(0, 1, "fifthpeg: tuning gDGBD capo 0 fifth-capo 5").program(105);
  banjo.event(0, bytes({0xF0, 3, 0x7D, 1, 0xF7}));
  for (int i = 0; i < 12; ++i) banjo.note(480 + i * 160, 150, 60 + i % 5).meta(480 + i * 160, 5, "la-");
  banjo.note(2400, 480, 55).note(2400, 480, 67).note(2412, 468, 62).bend(2500, 9000).bend(2880, 8192);
  banjo.note(3360, 960, 62).note(3900, 30, 63);
  Track strings;
  for (int i = 0; i < 20; ++i) strings.note(i * 120, 110, 50 + 5 * (i % 4), 70, 3 - i % 4);
  return file(1, 480, {conductor, banjo, strings});
}

void read_or_refuse(const std::string& bytes) {
  ReadOptions options;
  options.all_parts = true;
  try {
    const auto reading = fifthpeg::read_midi(bytes, options);
    ASSERT_EQ(flaws(reading.score), std::vector<std::string>{});
    ASSERT_TRUE(printable(reading.score));
    ASSERT_TRUE(tuplets_close(reading.score));
  } catch (const ReadError& error) {
    ASSERT_FALSE(std::string(error.what()).empty());
  }
}

TEST(MidiDamage, TheSpecimenIsSound) {
  EXPECT_EQ(read_sound(specimen()).score.measures.size(), 3U);
}

TEST(MidiDamage, EveryTruncation) {
  const std::string whole = specimen();
  for (std::size_t length = 0; length < whole.size(); ++length) {
    SCOPED_TRACE(length);
    read_or_refuse(whole.substr(0, length));
    // Cut inside of the file, there is always something missing: nothing is read but by the count of tracks.
    if (HasFatalFailure()) return;
  }
}

TEST(MidiDamage, RandomBytes) {
  const std::string whole = specimen();
  std::mt19937 random(4711);
  const char* wanted = std::getenv("FIFTHPEG_DAMAGE_ROUNDS");  // more of them by hand
  const int rounds = wanted != nullptr ? std::atoi(wanted) : 3000;
  int read = 0;
  for (int round = 0; round < rounds; ++round) {
    std::string damaged = whole;
    for (auto n = 1 + random() % 4; n > 0; --n) {
      damaged[random() % damaged.size()] = static_cast<char>(random() % 256);
    }
    if (random() % 8 == 0) damaged.erase(random() % damaged.size(), 1 + random() % 5);
    if (random() % 8 == 0)
      damaged.insert(random() % damaged.size(), 1 + random() % 5, static_cast<char>(random()));
    SCOPED_TRACE(round);
    read_or_refuse(damaged);
    if (HasFatalFailure()) return;
    try {
      fifthpeg::read_midi(damaged);
      ++read;
    } catch (const ReadError&) {
    }
  }
  EXPECT_GT(read, rounds / 20);  // damage to a note's pitch leaves a file that can be read
}

TEST(MidiDamage, MusicOfRandomNotes) {
  // Sound bytes, senseless music: any ticks, keys, channels, meters.
  std::mt19937 random(42);
  for (int round = 0; round < 300; ++round) {
    Track track;
    const int division = 1 + static_cast<int>(random() % 2000);
    for (auto n = 1 + random() % 60; n > 0; --n) {
      const auto tick = static_cast<std::int64_t>(random() % 20'000);
      switch (random() % 12) {
        case 0:
          track.meter(tick, 1 + static_cast<int>(random() % 12), static_cast<int>(random() % 6));
          break;
        case 1:
          track.tempo(tick, static_cast<std::uint32_t>(1 + random() % 0xFFFFFF));
          break;
        case 2:
          track.bend(tick, static_cast<int>(random() % 16384), static_cast<int>(random() % 5));
          break;
        case 3:
          track.key(tick, static_cast<int>(random() % 15) - 7, static_cast<int>(random() % 2));
          break;
        default:
          track.note(tick, static_cast<std::int64_t>(random() % 3000), static_cast<int>(random() % 128), 80,
                     static_cast<int>(random() % 5));
      }
    }
    track.note(0, 100, 60);
    SCOPED_TRACE(round);
    read_or_refuse(file(static_cast<int>(random() % 3), random() % 5 == 0 ? 0xE728 : division, {track}));
    if (HasFatalFailure()) return;
  }
}

}  // namespace
