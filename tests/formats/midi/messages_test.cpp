// The channel messages of a file: what the builder put in comes out, however the bytes say it, and libsmf,
// which decodes them, is never given anything that it warns about.
#include "formats/midi/messages.hpp"

#include <glib.h>
#include <gtest/gtest.h>
#include <random>
#include <string>
#include <thread>
#include <tuple>
#include <vector>

#include "formats/midi/reader/builder.hpp"
#include "formats/midi/scan.hpp"

namespace {

using fifthpeg::midi::ChannelMessage;
using fifthpeg::midi::Scan;
using namespace smf_bytes;

using Message = std::tuple<std::int64_t, int, int, int>;  // tick, status, data

std::vector<Message> messages(const std::string& file, std::size_t track = 0) {
  const Scan scan = fifthpeg::midi::scan(file);
  std::vector<Message> result;
  for_each_message(scan.tracks.at(track), [&result](const ChannelMessage& message) {
    result.emplace_back(message.tick, message.status, message.first, message.second);
  });
  return result;
}

std::string one_track(const std::string& events) {
  return header(0, 1, 480) + chunk("MTrk", events + bytes({0, 0xFF, 0x2F, 0}));
}

struct RandomTrack {
  std::string events;
  std::vector<Message> messages;
};

// Messages of every kind on every channel, metas between them, deltas of one to four bytes; the status byte
// left out wherever it may be.
RandomTrack random_track(std::mt19937& random) {
  const auto below = [&random](unsigned limit) { return static_cast<int>(random() % limit); };
  RandomTrack track;
  int running = 0;
  std::int64_t tick = 0;
  for (int i = 0; i < 300; ++i) {
    const int size = below(40);
    const int delta = size == 0   ? 2'097'152 + below(1000)
                      : size < 3  ? 16'384 + below(10'000)
                      : size < 10 ? below(16'384)
                                  : below(128);
    track.events += variable_length(static_cast<std::uint32_t>(delta));
    tick += delta;
    if (below(20) == 0) {
      track.events += bytes({0xFF, 0x01, 2, 'a', 'b'});
      running = 0;
      continue;
    }
    const int status = running != 0 && below(2) == 0 ? running : 0x80 + below(0x70);
    if (status != running || below(4) == 0) track.events += bytes({status});
    running = status;
    const int first = below(128);
    const int second = (status & 0xE0) != 0xC0 ? below(128) : 0;
    track.events += bytes({first});
    if ((status & 0xE0) != 0xC0) track.events += bytes({second});
    track.messages.emplace_back(tick, status, first, second);
  }
  return track;
}

TEST(MidiMessages, RandomOnesComeOutAsTheyWentIn) {
  std::mt19937 random(7);
  for (int i = 0; i < 100; ++i) {
    SCOPED_TRACE(i);
    const RandomTrack track = random_track(random);
    ASSERT_EQ(messages(one_track(track.events)), track.messages);
  }
}

TEST(MidiMessages, LongWaitsAndLongTexts) {
  const std::string longest = bytes({0xFF, 0xFF, 0xFF, 0x7F});
  const std::string text = bytes({0xFF, 0x01}) + variable_length(300) + std::string(300, 'x');
  // Two waits add up to more than one delta time can say.
  const std::string file = one_track(longest + text + longest + bytes({0x90, 55, 80}));
  EXPECT_EQ(messages(file), (std::vector<Message>{{2 * std::int64_t{0x0FFFFFFF}, 0x90, 55, 80}}));
}

TEST(MidiMessages, WhatNoDecoderTakesIsLeftOut) {
  const std::string events = bytes({0, 0x90, 55, 80}) + bytes({5, 0xF0, 2, 1, 0xF7}) +  // system exclusive
                             bytes({5, 0xF8}) +                                         // system real time
                             bytes({5, 0xF7, 1, 0xF3}) + bytes({5, 55, 0});  // escaped, running status
  for (const int division : {480, 0xE728}) {
    for (const int format : {0, 2}) {
      const std::string file =
          header(format, 1, division) + chunk("MTrk", events + bytes({0, 0xFF, 0x2F, 0}));
      EXPECT_EQ(messages(file), (std::vector<Message>{{0, 0x90, 55, 80}, {20, 0x90, 55, 0}}));
    }
  }
}

TEST(MidiMessages, TracksThatBreakOffGoAsFarAsTheyAreSound) {
  EXPECT_EQ(messages(one_track(bytes({0, 0x90, 55, 80, 7, 0x80, 55, 0, 0, 0xF5}))),
            (std::vector<Message>{{0, 0x90, 55, 80}, {7, 0x80, 55, 0}}));
  EXPECT_EQ(messages(one_track("")), std::vector<Message>{});
}

TEST(MidiMessages, InSeveralThreadsAtOnce) {
  std::mt19937 random(11);
  const RandomTrack track = random_track(random);
  const std::string file = one_track(track.events);
  std::vector<int> equal(4, 0);
  std::vector<std::thread> threads;
  for (int& count : equal) {
    threads.emplace_back([&] {
      for (int i = 0; i < 50; ++i) count += messages(file) == track.messages ? 1 : 0;
    });
  }
  for (std::thread& thread : threads) thread.join();
  EXPECT_EQ(equal, std::vector<int>(4, 50));
}

// Counts what is logged, whatever its domain.
class Logged {
 public:
  Logged() { g_log_set_default_handler(&count, this); }
  ~Logged() { g_log_set_default_handler(&g_log_default_handler, nullptr); }
  Logged(const Logged&) = delete;
  Logged& operator=(const Logged&) = delete;
  int lines = 0;

 private:
  static void count(const gchar* /*domain*/, GLogLevelFlags /*level*/, const gchar* /*text*/, gpointer self) {
    ++static_cast<Logged*>(self)->lines;
  }
};

TEST(MidiMessages, NothingIsLogged) {
  const Logged logged;
  g_log("fifthpeg-test", G_LOG_LEVEL_WARNING, "heard");
  ASSERT_EQ(logged.lines, 1);
  std::mt19937 random(13);
  const std::string whole = one_track(random_track(random).events);
  std::size_t decoded = 0;
  for (int i = 0; i < 2000; ++i) {
    std::string damaged = whole;
    for (auto n = 1 + random() % 4; n > 0; --n)
      damaged[random() % damaged.size()] = static_cast<char>(random() % 256);
    const Scan scan = fifthpeg::midi::scan(damaged);
    for (const auto& track : scan.tracks) for_each_message(track, [&](const ChannelMessage&) { ++decoded; });
  }
  EXPECT_GT(decoded, 10'000U);
  EXPECT_EQ(logged.lines, 1);
}

}  // namespace
