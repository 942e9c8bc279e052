// The bytes of one MTrk chunk, written in order of time (Standard MIDI Files 1.0, MIDI Manufacturers
// Association).
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

#include "formats/midi/meta.hpp"

namespace fifthpeg::midi {

// Data bytes that follow the status byte of a channel message.
constexpr int data_bytes(unsigned status) {
  const unsigned kind = status & 0xf0U;
  return kind == 0xc0 || kind == 0xd0 ? 1 : 2;
}

// Takes events at absolute ticks that never decrease, and writes the delta times between them.
class TrackBytes {
 public:
  // The second data byte is written where the kind of message has one.
  void channel(std::int64_t tick, unsigned status, unsigned data1, unsigned data2 = 0);
  void meta(std::int64_t tick, Meta type, std::string_view data);
  // The chunk, header and end of track included. The track ends at `tick`, or with its last event if that
  // is later. Throws WriteError where it is longer than a chunk can be.
  std::string finish(std::int64_t tick);

 private:
  void delta(std::int64_t tick);
  void variable_length(std::uint32_t value);
  void byte(unsigned value) { bytes_.push_back(static_cast<char>(value & 0xffU)); }

  std::string bytes_;
  std::int64_t now_ = 0;
};

// A number of the standard: high byte first.
std::string big_endian(std::uint32_t value, int size);

// MThd: format 1 with `tracks` tracks.
std::string file_header(unsigned tracks, unsigned ticks_per_quarter);

}  // namespace fifthpeg::midi
