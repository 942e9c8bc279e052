// The bytes of one MTrk chunk, written in order of time (Standard MIDI Files 1.0, MIDI Manufacturers
// Association).
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace fifthpeg::midi::writer {

// Meta event types of Standard MIDI Files 1.0.
enum class Meta : std::uint8_t {
  text = 0x01,
  copyright = 0x02,
  track_name = 0x03,
  lyric = 0x05,
  marker = 0x06,
  end_of_track = 0x2f,
  tempo = 0x51,
  time_signature = 0x58,
  key_signature = 0x59,
};

// Takes events at absolute ticks that never decrease, and writes the delta times between them.
class TrackBytes {
 public:
  void channel(std::int64_t tick, unsigned status, unsigned data1, unsigned data2);
  void program(std::int64_t tick, unsigned channel, unsigned program);
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

// MThd: format 1 with `tracks` tracks.
std::string file_header(unsigned tracks, unsigned ticks_per_quarter);

}  // namespace fifthpeg::midi::writer
