// A small parser of standard MIDI files for the tests of the writer, written from the Standard MIDI Files 1.0
// specification and independent of the library's own reader. Anything that breaks the specification fails
// the test.
#pragma once

#include <cstdint>
#include <gtest/gtest.h>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "fifthpeg/write.hpp"

namespace fifthpeg::testing {

struct MidiEvent {
  std::int64_t tick = 0;
  int status = 0;    // 0xff for a meta event
  int type = 0;      // of a meta event; otherwise the first data byte
  int second = 0;    // the second data byte
  std::string data;  // of a meta event
  int kind() const { return status & 0xf0; }
  int channel() const { return status & 0x0f; }
  bool is_note_on() const { return kind() == 0x90 && status != 0xff && second > 0; }
  bool is_note_off() const { return status != 0xff && (kind() == 0x80 || (kind() == 0x90 && second == 0)); }
  bool is_meta(int meta) const { return status == 0xff && type == meta; }
};

struct MidiFile {
  int format = -1;
  int division = 0;
  std::vector<std::vector<MidiEvent>> tracks;
};

class MidiParser {
 public:
  explicit MidiParser(std::string_view bytes) : bytes_(bytes) {}

  MidiFile parse() {
    MidiFile file;
    expect_chunk("MThd");
    EXPECT_EQ(number(4), 6);
    file.format = number(2);
    const int tracks = number(2);
    file.division = number(2);
    for (int i = 0; i < tracks && !::testing::Test::HasFailure(); ++i) file.tracks.push_back(track());
    EXPECT_EQ(at_, bytes_.size()) << "bytes after the last track";
    return file;
  }

 private:
  int byte() {
    if (at_ >= bytes_.size()) {
      ADD_FAILURE() << "the file ends too early";
      return 0;
    }
    return static_cast<unsigned char>(bytes_[at_++]);
  }
  int number(int size) {
    int value = 0;
    for (int i = 0; i < size; ++i) value = value << 8 | byte();
    return value;
  }
  void expect_chunk(std::string_view name) {
    EXPECT_EQ(bytes_.substr(at_, 4), name);
    at_ += 4;
  }
  std::int64_t variable_length() {
    std::int64_t value = 0;
    for (int i = 0; i < 4; ++i) {
      const int b = byte();
      value = value << 7 | (b & 0x7f);
      if (b < 0x80) return value;
    }
    ADD_FAILURE() << "a variable length of more than four bytes";
    return value;
  }
  std::vector<MidiEvent> track() {
    std::vector<MidiEvent> events;
    expect_chunk("MTrk");
    const auto length = static_cast<std::size_t>(number(4));
    const std::size_t end = at_ + length;
    std::int64_t tick = 0;
    int running = 0;
    bool ended = false;
    while (at_ < end && !ended && !::testing::Test::HasFailure()) {
      MidiEvent event;
      tick += variable_length();
      event.tick = tick;
      event.status = byte();
      if (event.status == 0xff) {
        event.type = byte();
        const auto size = static_cast<std::size_t>(variable_length());
        event.data = std::string(bytes_.substr(at_, size));
        at_ += size;
        ended = event.type == 0x2f;
        running = 0;
      } else {
        int first = event.status;
        if (event.status >= 0x80) {
          EXPECT_LT(event.status, 0xf0);
          running = event.status;
          first = byte();
        }
        EXPECT_NE(running, 0) << "running status without a status";
        event.status = running;
        event.type = first;
        EXPECT_LT(first, 0x80);
        if (event.kind() != 0xc0 && event.kind() != 0xd0) event.second = byte();
        EXPECT_LT(event.second, 0x80);
      }
      events.push_back(event);
    }
    EXPECT_TRUE(ended) << "a track without its end";
    EXPECT_EQ(at_, end) << "the length of the chunk is wrong";
    return events;
  }

  std::string_view bytes_;
  std::size_t at_ = 0;
};

struct Written {
  MidiFile file;
  Report report;
  std::string bytes;
  const std::vector<MidiEvent>& conductor() const { return file.tracks.at(0); }
  const std::vector<MidiEvent>& banjo() const { return file.tracks.at(1); }
  std::uint64_t told(std::string_view slug) const {
    std::uint64_t count = 0;
    for (const Entry& one : report.entries()) count += one.slug == slug ? one.count : 0;
    return count;
  }
};

inline Written write_and_parse(const Score& score, const MidiOptions& options = {}) {
  Written written;
  StringSink sink;
  written.report = write_midi(score, options, sink);
  written.bytes = sink.str();
  written.file = MidiParser(written.bytes).parse();
  return written;
}

// A note with both its ends; a note-off ends the oldest note of its channel and key.
struct HeardNote {
  std::int64_t on = 0;
  std::int64_t off = -1;
  int key = 0;
  int channel = 0;
  int velocity = 0;
  friend bool operator==(const HeardNote&, const HeardNote&) = default;
};

inline std::vector<HeardNote> notes_of(const std::vector<MidiEvent>& track) {
  std::vector<HeardNote> notes;
  std::map<std::pair<int, int>, std::vector<std::size_t>> open;
  for (const MidiEvent& event : track) {
    if (event.is_note_on()) {
      open[{event.channel(), event.type}].push_back(notes.size());
      notes.push_back({event.tick, -1, event.type, event.channel(), event.second});
    } else if (event.is_note_off()) {
      auto& waiting = open[{event.channel(), event.type}];
      if (waiting.empty()) {
        ADD_FAILURE() << "a note-off without a note at " << event.tick;
        continue;
      }
      notes[waiting.front()].off = event.tick;
      waiting.erase(waiting.begin());
    }
  }
  for (const HeardNote& note : notes) EXPECT_GT(note.off, note.on);
  return notes;
}

inline std::vector<std::string> metas_of(const std::vector<MidiEvent>& track, int type) {
  std::vector<std::string> result;
  for (const MidiEvent& event : track) {
    if (event.is_meta(type)) result.push_back(event.data);
  }
  return result;
}

}  // namespace fifthpeg::testing
