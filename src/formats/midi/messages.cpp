#include "formats/midi/messages.hpp"

// libsmf's header includes GLib's inside of extern "C", where GLib's own C++ cannot stand.
#include <glib.h>
#include <memory>
#include <new>
#include <smf.h>
#include <string>

#include "formats/midi/scan.hpp"

namespace fifthpeg::midi {
namespace {

struct Delete {
  void operator()(smf_t* smf) const { smf_delete(smf); }
};

constexpr int first_meta_status = 0xF0;

// Of a piece's track, behind the headers of the file and of the track.
std::size_t bytes_in(const std::string& piece) {
  constexpr std::size_t headers = 14 + 8;
  return piece.size() - headers;
}

// What the events take in a file. Where libsmf has no memory for an event, it leaves that and all that follow
// out, and says so to nobody; nothing else is wrong with a piece, which the scan has proven sound.
std::size_t bytes_of(const smf_track_t& events) {
  std::size_t bytes = 0;
  for (int number = 1; number <= events.number_of_events; ++number) {
    const smf_event_t& event = *smf_track_get_event_by_number(&events, number);
    for (int wait = event.delta_time_pulses; wait >= 0x80; wait >>= 7) ++bytes;
    bytes += 1 + static_cast<std::size_t>(event.midi_buffer_length);
  }
  return bytes;
}

void (*end_of_process)() = nullptr;

}  // namespace

void end_process_without_memory(void (*end)()) {
  end_of_process = end;
  // A piece that the scan has proven sound gives libsmf nothing to warn of.
  g_log_set_default_handler(
      [](const gchar* /*domain*/, GLogLevelFlags level, const gchar* /*message*/, gpointer /*data*/) {
        if ((level & (G_LOG_FLAG_FATAL | G_LOG_LEVEL_ERROR | G_LOG_LEVEL_CRITICAL)) != 0) end_of_process();
      },
      nullptr);
}

void for_each_message(const ScannedTrack& track, const std::function<void(const ChannelMessage&)>& take) {
  for (const std::string& piece : track.pieces) {
    const std::unique_ptr<smf_t, Delete> smf(
        smf_load_from_memory(piece.data(), static_cast<int>(piece.size())));
    smf_track_t* const events = smf == nullptr ? nullptr : smf_get_track_by_number(smf.get(), 1);
    if (events == nullptr || bytes_of(*events) != bytes_in(piece)) throw std::bad_alloc();
    for (int number = 1; number <= events->number_of_events; ++number) {
      const smf_event_t& event = *smf_track_get_event_by_number(events, number);
      const std::uint8_t* const bytes = event.midi_buffer;
      if (bytes[0] >= first_meta_status) continue;
      take(
          {event.time_pulses, bytes[0], bytes[1], event.midi_buffer_length > 2 ? bytes[2] : std::uint8_t{0}});
    }
  }
}

}  // namespace fifthpeg::midi
