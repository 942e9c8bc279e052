// Builds standard MIDI files byte by byte, by no code of the project.
#pragma once

#include <algorithm>
#include <cstdint>
#include <initializer_list>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace smf_bytes {

inline std::string bytes(std::initializer_list<int> values) {
  std::string result;
  for (const int value : values) result += static_cast<char>(value);
  return result;
}

inline std::string big_endian(std::uint32_t value, int size) {
  std::string result;
  for (int i = size - 1; i >= 0; --i) result += static_cast<char>(value >> (8 * i));
  return result;
}

inline std::string variable_length(std::uint32_t value) {
  std::string result(1, static_cast<char>(value & 0x7F));
  while ((value >>= 7) != 0) result.insert(result.begin(), static_cast<char>((value & 0x7F) | 0x80));
  return result;
}

inline std::string chunk(std::string_view type, const std::string& body) {
  return std::string(type) + big_endian(static_cast<std::uint32_t>(body.size()), 4) + body;
}

inline std::string header(int format, int tracks, int division) {
  return chunk("MThd", big_endian(static_cast<std::uint32_t>(format), 2) +
                           big_endian(static_cast<std::uint32_t>(tracks), 2) +
                           big_endian(static_cast<std::uint32_t>(division), 2));
}

class Track {
 public:
  Track& event(std::int64_t tick, std::string data) {
    events_.emplace_back(tick, std::move(data));
    return *this;
  }
  Track& note(std::int64_t tick, std::int64_t length, int key, int velocity = 80, int channel = 0) {
    event(tick, bytes({0x90 | channel, key, velocity}));
    return event(tick + length, bytes({0x80 | channel, key, 64}));
  }
  Track& meta(std::int64_t tick, int type, const std::string& data) {
    return event(tick, bytes({0xFF, type}) + variable_length(static_cast<std::uint32_t>(data.size())) + data);
  }
  Track& name(const std::string& text) { return meta(0, 3, text); }
  Track& tempo(std::int64_t tick, std::uint32_t microseconds) {
    return meta(tick, 0x51, big_endian(microseconds, 3));
  }
  Track& meter(std::int64_t tick, int beats, int power) {
    return meta(tick, 0x58, bytes({beats, power, 24, 8}));
  }
  Track& key(std::int64_t tick, int fifths, int minor = 0) {
    return meta(tick, 0x59, bytes({fifths & 0xFF, minor}));
  }
  Track& program(int program, int channel = 0) { return event(0, bytes({0xC0 | channel, program})); }
  Track& bend(std::int64_t tick, int value, int channel = 0) {
    return event(tick, bytes({0xE0 | channel, value & 0x7F, value >> 7}));
  }
  Track& end(std::int64_t tick) {
    end_ = tick;
    return *this;
  }

  // The events and the end of track, without the chunk header. Note-offs go before note-ons.
  std::string body() const {
    auto sorted = events_;
    const auto rank = [](const std::pair<std::int64_t, std::string>& event) {
      const bool off = (static_cast<unsigned char>(event.second[0]) & 0xF0) == 0x80;
      return event.first * 2 + (off ? 0 : 1);
    };
    std::stable_sort(sorted.begin(), sorted.end(),
                     [&](const auto& a, const auto& b) { return rank(a) < rank(b); });
    std::string result;
    std::int64_t now = 0;
    for (const auto& [tick, data] : sorted) {
      result += variable_length(static_cast<std::uint32_t>(tick - now)) + data;
      now = tick;
    }
    return result + variable_length(static_cast<std::uint32_t>(std::max(now, end_) - now)) +
           bytes({0xFF, 0x2F, 0x00});
  }
  std::string chunk() const { return smf_bytes::chunk("MTrk", body()); }

 private:
  std::vector<std::pair<std::int64_t, std::string>> events_;
  std::int64_t end_ = 0;
};

inline std::string file(int format, int division, const std::vector<Track>& tracks) {
  std::string result = header(format, static_cast<int>(tracks.size()), division);
  for (const Track& track : tracks) result += track.chunk();
  return result;
}

}  // namespace smf_bytes
