// Channel messages, decoded by libsmf.
#pragma once

#include <cstdint>
#include <functional>

#include "read/smf/scan.hpp"

namespace fifthpeg::smf_read {

struct ChannelMessage {
  std::int64_t tick = 0;
  std::uint8_t status = 0;  // kind and channel
  std::uint8_t first = 0;
  std::uint8_t second = 0;  // 0 where the kind has one data byte

  int kind() const { return status & 0xF0; }
  int channel() const { return status & 0x0F; }  // from 0
};

// Calls `visit` for each channel message of the track, in order. Prints nothing, whatever libsmf thinks.
void for_each_message(const ScannedTrack& track, const std::function<void(const ChannelMessage&)>& visit);

}  // namespace fifthpeg::smf_read
