#include "read/smf/load.hpp"

#include <cstdlib>
#include <memory>
#include <smf.h>
#include <string>

#include "fifthpeg/errors.hpp"

namespace fifthpeg::smf_read {
namespace {

// libsmf speaks through GLib's log; nothing of that reaches the user.
class Silence {
 public:
  Silence()
      : handler_(g_log_set_handler(
            domain, all_levels, [](auto, auto, auto, auto) {}, nullptr)) {}
  Silence(const Silence&) = delete;
  Silence& operator=(const Silence&) = delete;
  ~Silence() { g_log_remove_handler(domain, handler_); }

 private:
  static constexpr const char* domain = "libsmf";
  static constexpr auto all_levels =
      static_cast<GLogLevelFlags>(G_LOG_LEVEL_MASK | G_LOG_FLAG_FATAL | G_LOG_FLAG_RECURSION);
  guint handler_;
};

// smf_delete() looks every event up from the front of its track, in quadratic time. The events are plain
// blocks of memory in a public structure, so they are let go here, and the empty rest is left to libsmf.
struct Delete {
  void operator()(smf_t* smf) const {
    for (int number = 1; number <= smf->number_of_tracks; ++number) {
      smf_track_t* track = smf_get_track_by_number(smf, number);
      for (guint i = 0; i < track->events_array->len; ++i) {
        auto* event = static_cast<smf_event_t*>(g_ptr_array_index(track->events_array, i));
        std::free(event->midi_buffer);  // NOLINT: libsmf allocates with malloc
        std::free(event);               // NOLINT
      }
      g_ptr_array_set_size(track->events_array, 0);
      track->number_of_events = 0;
    }
    smf_delete(smf);
  }
};
using Smf = std::unique_ptr<smf_t, Delete>;

constexpr std::uint8_t meta_event = 0xFF;

void append_big_endian(std::string& out, std::uint32_t value) {
  for (int shift = 24; shift >= 0; shift -= 8)
    out += static_cast<char>(value >> static_cast<unsigned>(shift));
}

// A file of one track around a block of messages.
std::string file_around(const std::string& block) {
  constexpr std::string_view header{"MThd\0\0\0\6\0\1\0\1\0\x60MTrk", 18};
  constexpr std::string_view end_of_track{"\0\xFF\x2F\0", 4};
  std::string file;
  file.reserve(header.size() + 4 + block.size() + end_of_track.size());
  file += header;
  append_big_endian(file, static_cast<std::uint32_t>(block.size() + end_of_track.size()));
  file += block;
  file += end_of_track;
  return file;
}

}  // namespace

void for_each_message(const ScannedTrack& track, const std::function<void(const ChannelMessage&)>& visit) {
  const Silence silence;
  std::int64_t block_start = 0;
  for (const std::string& block : track.blocks) {
    const std::string file = file_around(block);
    const Smf smf(smf_load_from_memory(file.data(), static_cast<int>(file.size())));
    const smf_track_t* loaded = smf ? smf_get_track_by_number(smf.get(), 1) : nullptr;
    if (loaded == nullptr) {
      throw ReadError("the MIDI library refuses a track",
                      {{}, {}, {}, 0, static_cast<std::int64_t>(track.byte)});
    }
    ChannelMessage message;
    message.tick = block_start;
    for (guint i = 0; i < loaded->events_array->len; ++i) {
      const auto* event = static_cast<const smf_event_t*>(g_ptr_array_index(loaded->events_array, i));
      if (event->midi_buffer[0] == meta_event) continue;  // the end of track
      message.tick = block_start + event->time_pulses;
      message.status = event->midi_buffer[0];
      message.first = event->midi_buffer[1];
      message.second = event->midi_buffer_length > 2 ? event->midi_buffer[2] : std::uint8_t{0};
      visit(message);
    }
    block_start = message.tick;
  }
}

}  // namespace fifthpeg::smf_read
