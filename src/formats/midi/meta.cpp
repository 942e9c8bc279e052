#include "formats/midi/meta.hpp"

namespace fifthpeg::midi {
namespace {

constexpr unsigned finest_meter_unit = 7;  // as a power of two: 1/128

unsigned byte_of(const MetaEvent& meta, std::size_t i) {
  return static_cast<unsigned char>(meta.data[i]);
}

}  // namespace

Place at_byte(std::size_t byte) {
  Place place;
  place.byte = static_cast<std::int64_t>(byte);
  return place;
}

std::optional<std::uint32_t> tempo_in(const MetaEvent& meta) {
  if (meta.type != Meta::tempo || meta.data.size() < 3) return std::nullopt;
  const std::uint32_t microseconds = byte_of(meta, 0) << 16U | byte_of(meta, 1) << 8U | byte_of(meta, 2);
  return microseconds > 0 ? std::optional(microseconds) : std::nullopt;
}

std::optional<Meter> meter_in(const MetaEvent& meta) {
  if (meta.type != Meta::time_signature || meta.data.size() < 2) return std::nullopt;
  const unsigned beats = byte_of(meta, 0);
  const unsigned power = byte_of(meta, 1);
  if (beats == 0 || power > finest_meter_unit) return std::nullopt;
  Meter meter;
  meter.beats = {static_cast<int>(beats)};
  meter.unit = 1 << power;
  return meter;
}

std::optional<Key> key_in(const MetaEvent& meta) {
  if (meta.type != Meta::key_signature || meta.data.size() < 2) return std::nullopt;
  const auto fifths = static_cast<signed char>(meta.data[0]);
  if (fifths < -7 || fifths > 7 || byte_of(meta, 1) > 1) return std::nullopt;
  Key key;
  key.fifths = fifths;
  key.mode = byte_of(meta, 1) == 1 ? Mode::minor : Mode::major;
  return key;
}

}  // namespace fifthpeg::midi
