// The scan of the bytes: what is sound, what is mended and told, what is damage, and at which byte.
#include "formats/midi/scan.hpp"

#include <gtest/gtest.h>
#include <string>

#include "fifthpeg/errors.hpp"
#include "formats/midi/reader/support.hpp"

namespace {

using fifthpeg::Place;
using fifthpeg::ReadError;
using fifthpeg::midi::Scan;
using namespace smf_bytes;

Scan scanned(const std::string& file) {
  return fifthpeg::midi::scan(file);
}

// The byte at which a slug was told first, or -1.
std::int64_t told_at(const fifthpeg::Report& report, std::string_view slug) {
  for (const auto& one : report.entries()) {
    if (one.slug == slug) return one.places.front().byte;
  }
  return -1;
}

void expect_damage(const std::string& file, std::string_view slug, std::size_t byte) {
  const Scan scan = scanned(file);
  ASSERT_EQ(scan.damage.size(), 1U);
  EXPECT_EQ(scan.damage.front().slug, slug);
  EXPECT_EQ(scan.damage.front().byte, byte);
  try {
    fifthpeg::read_midi(file);
    ADD_FAILURE() << "was read";
  } catch (const ReadError& error) {
    EXPECT_EQ(error.place().byte, static_cast<std::int64_t>(byte));
    EXPECT_EQ(error.what(), scan.damage.front().text);
  }
}

void expect_repair(const std::string& file, std::string_view slug, std::int64_t byte) {
  const auto reading = read_sound(file);
  EXPECT_EQ(told(reading.report, slug), 1U);
  EXPECT_EQ(told_at(reading.report, slug), byte);
  EXPECT_EQ(reading.score.measures.size(), 1U);
  EXPECT_EQ(text(reading.score.measures.front()), "0 1 G3");
}

// A track of one whole note, G3, at 96 ticks: 12 bytes of events and 4 of its end.
const std::string whole_note = bytes({0x00, 0x90, 55, 80, 0x83, 0x00, 0x80, 55, 64});
const std::string end_of_track = bytes({0x00, 0xFF, 0x2F, 0x00});

std::string one_track(const std::string& events) {
  return header(0, 1, 96) + chunk("MTrk", events);
}

constexpr std::size_t first_event = 22;  // 14 bytes of header, 8 of the chunk's

TEST(MidiScan, SoundFileHasNothingToTell) {
  const Scan scan = scanned(one_track(whole_note + end_of_track));
  EXPECT_TRUE(scan.damage.empty());
  EXPECT_TRUE(scan.report.empty());
  ASSERT_EQ(scan.tracks.size(), 1U);
  EXPECT_EQ(scan.tracks.front().end, 384);
  EXPECT_EQ(scan.tracks.front().byte, 14U);
  EXPECT_EQ(scan.division.ticks_per_quarter, 96);
}

TEST(MidiScan, NoHeader) {
  expect_damage("", "midi-no-header", 0);
  expect_damage("MThe and so on, long enough", "midi-no-header", 0);
  expect_damage("MThd", "midi-cut-off", 4);
  expect_damage(header(0, 1, 96).substr(0, 13), "midi-cut-off", 13);
}

TEST(MidiScan, HeaderValues) {
  expect_damage(header(3, 1, 96) + chunk("MTrk", whole_note + end_of_track), "midi-format", 8);
  expect_damage(header(0, 1, 0) + chunk("MTrk", whole_note + end_of_track), "midi-division", 12);
  // 26 frames a second exist in no time code.
  expect_damage(header(0, 1, 0xE628) + chunk("MTrk", whole_note + end_of_track), "midi-division", 12);
  expect_damage(header(0, 1, 0xE700) + chunk("MTrk", whole_note + end_of_track), "midi-division", 12);
  expect_damage(header(0, 1, 96), "midi-no-tracks", 14);
  std::string short_header = "MThd" + big_endian(4, 4) + bytes({0, 0, 0, 1, 0, 96});
  expect_damage(short_header + chunk("MTrk", whole_note + end_of_track), "midi-header-length", 4);
}

TEST(MidiScan, LongerHeaderIsReadAndTold) {
  const std::string longer = "MThd" + big_endian(8, 4) + bytes({0, 0, 0, 1, 0, 96, 7, 7});
  expect_repair(longer + chunk("MTrk", whole_note + end_of_track), "midi-header-length", 4);
}

TEST(MidiScan, WrongNumberOfTracksIsToldAndAllAreRead) {
  expect_repair(header(1, 9, 96) + chunk("MTrk", whole_note + end_of_track), "midi-track-count", 10);
  const std::string two =
      header(1, 1, 96) + chunk("MTrk", end_of_track) + chunk("MTrk", whole_note + end_of_track);
  expect_repair(two, "midi-track-count", 10);
  EXPECT_EQ(scanned(two).tracks.size(), 2U);
  expect_repair(header(1, 65535, 96) + chunk("MTrk", whole_note + end_of_track), "midi-track-count", 10);
}

TEST(MidiScan, FormatZeroWithTwoTracksIsReadAsFormatOne) {
  const std::string file =
      header(0, 2, 96) + chunk("MTrk", end_of_track) + chunk("MTrk", whole_note + end_of_track);
  expect_repair(file, "midi-format-0-tracks", 10);
}

TEST(MidiScan, MissingEndOfTrack) {
  expect_repair(one_track(whole_note), "midi-no-end-of-track", first_event + 9);
}

TEST(MidiScan, BytesAfterEndOfTrack) {
  expect_repair(one_track(whole_note + end_of_track + "xyz"), "midi-early-end", first_event + 13);
}

TEST(MidiScan, BytesAfterTheLastChunk) {
  expect_repair(one_track(whole_note + end_of_track) + bytes({0, 0, 0}), "midi-bytes-after-end",
                first_event + 13);
  expect_repair(one_track(whole_note + end_of_track) + std::string(40, '\0'), "midi-bytes-after-end",
                first_event + 13);
}

TEST(MidiScan, ChunkLengthPastTheEnd) {
  // The events say themselves where the track ends.
  const std::string body = whole_note + end_of_track;
  expect_repair(header(0, 1, 96) + "MTrk" + big_endian(0x7FFFFFFF, 4) + body, "midi-track-length", 18);
  // Cut off in the middle there is no telling what is missing.
  expect_damage(header(0, 1, 96) + "MTrk" + big_endian(0x7FFFFFFF, 4) + whole_note, "midi-cut-off",
                first_event + 9);
  expect_damage(header(0, 1, 96) + "XFIH" + big_endian(0x7FFFFFFF, 4) + whole_note, "midi-cut-off", 18);
}

TEST(MidiScan, UnknownChunksArePassedOver) {
  const std::string file =
      header(0, 1, 96) + chunk("XFIH", "something") + chunk("MTrk", whole_note + end_of_track);
  expect_repair(file, "midi-unknown-chunk", 14);
}

TEST(MidiScan, UnknownMetaEventsArePassedOver) {
  expect_repair(one_track(bytes({0, 0xFF, 0x60, 2, 1, 2}) + whole_note + end_of_track), "midi-unknown-meta",
                first_event + 1);
}

TEST(MidiScan, SystemExclusiveIsPassedOver) {
  expect_repair(one_track(bytes({0, 0xF0, 3, 0x7D, 1, 0xF7}) + whole_note + end_of_track), "midi-sysex",
                first_event + 1);
  expect_repair(one_track(bytes({0, 0xF7, 2, 0xF3, 1}) + whole_note + end_of_track), "midi-sysex",
                first_event + 1);
}

TEST(MidiScan, SystemMessagesHaveNoPlaceInAFile) {
  expect_repair(one_track(bytes({0, 0xF8}) + whole_note + end_of_track), "midi-system-message",
                first_event + 1);
  expect_repair(one_track(bytes({0, 0xF2, 1, 2}) + whole_note + end_of_track), "midi-system-message",
                first_event + 1);
  expect_damage(one_track(bytes({0, 0xF4}) + whole_note + end_of_track), "midi-status", first_event + 1);
}

TEST(MidiScan, RunningStatus) {
  // Note-on with velocity 0 ends the note (MIDI 1.0), the status of the first message holding on.
  const std::string running = bytes({0x00, 0x90, 55, 80, 0x83, 0x00, 55, 0});
  const auto reading = read_sound(one_track(running + end_of_track));
  EXPECT_EQ(text(reading.score.measures.front()), "0 1 G3");
  EXPECT_EQ(told(reading.report, "midi-running-status"), 0U);
  expect_damage(one_track(bytes({0x00, 55, 80}) + end_of_track), "midi-no-status", first_event + 1);
}

TEST(MidiScan, RunningStatusOverAMetaEventIsTold) {
  const std::string events =
      bytes({0x00, 0x90, 55, 80, 0x00, 0xFF, 0x06, 1, 'x', 0x83, 0x00, 55, 0}) + end_of_track;
  expect_repair(one_track(events), "midi-running-status", first_event + 11);
}

TEST(MidiScan, LongVariableLengthNumber) {
  expect_damage(one_track(bytes({0x81, 0x80, 0x80, 0x80, 0x00, 0x90, 55, 80}) + end_of_track),
                "midi-long-number", first_event);
  expect_damage(one_track(bytes({0, 0xFF, 1, 0xFF, 0xFF, 0xFF, 0xFF, 0x7F})), "midi-long-number",
                first_event + 3);
}

TEST(MidiScan, DataBytes) {
  expect_damage(one_track(bytes({0x00, 0x90, 0x85, 80}) + end_of_track), "midi-data-byte", first_event + 2);
  expect_damage(one_track(bytes({0x00, 0x90, 55, 0xFF}) + end_of_track), "midi-data-byte", first_event + 3);
  expect_damage(one_track(bytes({0x00, 0xFF, 0x80, 0}) + end_of_track), "midi-meta-type", first_event + 2);
}

TEST(MidiScan, EventPastTheEndOfItsTrack) {
  const std::string file =
      header(1, 2, 96) + chunk("MTrk", bytes({0x00, 0x90, 55})) + chunk("MTrk", whole_note + end_of_track);
  const Scan scan = scanned(file);
  ASSERT_EQ(scan.damage.size(), 1U);
  EXPECT_EQ(scan.damage.front().slug, "midi-cut-off");
  EXPECT_EQ(scan.damage.front().byte, first_event + 3);
  // What stands in the other track is recovered.
  ASSERT_EQ(scan.tracks.size(), 2U);
  EXPECT_EQ(scan.tracks.back().end, 384);
}

TEST(MidiScan, EventsBeforeTheDamageAreKept) {
  const Scan scan = scanned(one_track(whole_note + bytes({0x00, 0xF5}) + end_of_track));
  ASSERT_EQ(scan.tracks.size(), 1U);
  EXPECT_EQ(scan.tracks.front().end, 384);
  // messages_test.cpp sees the messages themselves.
  EXPECT_EQ(scan.tracks.front().pieces.size(), 1U);
}

TEST(MidiScan, RiffContainer) {
  const std::string inside = one_track(whole_note + end_of_track);
  const auto little = [](std::size_t n) {
    return bytes({static_cast<int>(n & 0xFF), static_cast<int>(n >> 8 & 0xFF), 0, 0});
  };
  const std::string file =
      "RIFF" + little(inside.size() + 12) + "RMID" + "data" + little(inside.size()) + inside;
  expect_repair(file, "midi-riff", 12);
  expect_damage("RIFF" + little(4) + "RMID", "midi-riff-without-data", 0);
}

TEST(MidiScan, TooLongToCount) {
  std::string events;
  for (int i = 0; i < 9; ++i) events += bytes({0xFF, 0xFF, 0xFF, 0x7F, 0x90, 55, i % 2 == 0 ? 80 : 0});
  const Scan scan = scanned(one_track(events + end_of_track));
  ASSERT_EQ(scan.damage.size(), 1U);
  EXPECT_EQ(scan.damage.front().slug, "midi-too-long");
}

TEST(MidiScan, MoreTracksThanAHeaderCanCount) {
  std::string file = header(1, 1, 96);
  for (int i = 0; i < 65'536; ++i) file += chunk("MTrk", "");
  const Scan scan = scanned(file);
  ASSERT_EQ(scan.damage.size(), 1U);
  EXPECT_EQ(scan.damage.front().slug, "midi-too-many-tracks");
}

}  // namespace
