#include "formats/midi/track_bytes.hpp"

#include <algorithm>

#include "fifthpeg/errors.hpp"

namespace fifthpeg::midi {
namespace {

constexpr std::uint32_t longest_variable_length = 0x0fffffff;  // four bytes of seven bits

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
  if (data_bytes(status) == 2) byte(data2 & 0x7fU);
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
  bytes_.insert(0, "MTrk" + big_endian(static_cast<std::uint32_t>(bytes_.size()), 4));
  return std::move(bytes_);
}

std::string big_endian(std::uint32_t value, int size) {
  std::string bytes;
  for (int shift = 8 * (size - 1); shift >= 0; shift -= 8) {
    bytes.push_back(static_cast<char>((value >> static_cast<unsigned>(shift)) & 0xffU));
  }
  return bytes;
}

std::string file_header(unsigned tracks, unsigned ticks_per_quarter) {
  return "MThd" + big_endian(6, 4) + big_endian(1, 2) + big_endian(tracks, 2) +
         big_endian(ticks_per_quarter, 2);
}

}  // namespace fifthpeg::midi
