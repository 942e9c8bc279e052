#include "formats/midi/writer/track_bytes.hpp"

#include <algorithm>

#include "fifthpeg/errors.hpp"

namespace fifthpeg::midi::writer {
namespace {

constexpr std::uint32_t longest_variable_length = 0x0fffffff;  // four bytes of seven bits

void append_big_endian(std::string& bytes, std::uint32_t value, int size) {
  for (int shift = 8 * (size - 1); shift >= 0; shift -= 8) {
    bytes.push_back(static_cast<char>((value >> static_cast<unsigned>(shift)) & 0xffU));
  }
}

}  // namespace

void TrackBytes::variable_length(std::uint32_t value) {
  for (unsigned shift = 21; shift > 0; shift -= 7) {
    if (value >> shift != 0) byte(0x80U | ((value >> shift) & 0x7fU));
  }
  byte(value & 0x7fU);
}

void TrackBytes::delta(std::int64_t tick) {
  std::int64_t wait = std::max<std::int64_t>(0, tick - now_);
  now_ += wait;
  // A longer wait than a delta time can say is broken up by empty text events.
  while (wait > longest_variable_length) {
    variable_length(longest_variable_length);
    byte(0xff);
    byte(static_cast<unsigned>(Meta::text));
    byte(0);
    wait -= longest_variable_length;
  }
  variable_length(static_cast<std::uint32_t>(wait));
}

void TrackBytes::channel(std::int64_t tick, unsigned status, unsigned data1, unsigned data2) {
  delta(tick);
  byte(status);
  byte(data1 & 0x7fU);
  byte(data2 & 0x7fU);
}

void TrackBytes::program(std::int64_t tick, unsigned channel, unsigned program) {
  delta(tick);
  byte(0xc0U | channel);
  byte(program & 0x7fU);
}

void TrackBytes::meta(std::int64_t tick, Meta type, std::string_view data) {
  data = data.substr(0, longest_variable_length);
  delta(tick);
  byte(0xff);
  byte(static_cast<unsigned>(type));
  variable_length(static_cast<std::uint32_t>(data.size()));
  bytes_ += data;
}

std::string TrackBytes::finish(std::int64_t tick) {
  meta(std::max(tick, now_), Meta::end_of_track, {});
  if (bytes_.size() > UINT32_MAX) throw WriteError("the track is longer than a MIDI file can hold");
  std::string header = "MTrk";
  append_big_endian(header, static_cast<std::uint32_t>(bytes_.size()), 4);
  bytes_.insert(0, header);
  return std::move(bytes_);
}

std::string file_header(unsigned tracks, unsigned ticks_per_quarter) {
  std::string bytes = "MThd";
  append_big_endian(bytes, 6, 4);
  append_big_endian(bytes, 1, 2);
  append_big_endian(bytes, tracks, 2);
  append_big_endian(bytes, ticks_per_quarter, 2);
  return bytes;
}

}  // namespace fifthpeg::midi::writer
