// The channel messages of a track, as libsmf decodes them.
//
// libsmf 1.3 is given nothing but what the scan has proven sound: it aborts on many damaged files, reads past
// the end of others and prints warnings of its own. Its load and its look-up of events by number are safe in
// several threads at once, each with files of its own.
#pragma once

#include <cstdint>
#include <functional>

namespace fifthpeg::midi {

struct ScannedTrack;

struct ChannelMessage {
  std::int64_t tick = 0;
  std::uint8_t status = 0;  // kind and channel
  std::uint8_t first = 0;
  std::uint8_t second = 0;  // 0 where the kind has one data byte

  int kind() const { return status & 0xF0; }
  int channel() const { return status & 0x0F; }  // from 0
};

// In file order. Throws std::bad_alloc where libsmf has no memory and says so.
void for_each_message(const ScannedTrack& track, const std::function<void(const ChannelMessage&)>& take);

// In places libsmf and GLib abort the process where they have no memory, or go on with a null pointer. From
// now on they end it by `end`, which does not return. For programs: holds for all of GLib's messages in the
// process.
void end_process_without_memory(void (*end)());

}  // namespace fifthpeg::midi
