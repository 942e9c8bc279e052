#include "formats/midi/messages.hpp"

// libsmf's header includes GLib's inside of extern "C", where GLib's own C++ cannot stand.
#include <glib.h>
#include <memory>
#include <smf.h>
#include <string>

#include "fifthpeg/errors.hpp"
#include "formats/midi/scan.hpp"

namespace fifthpeg::midi {
namespace {

struct Delete {
  void operator()(smf_t* smf) const { smf_delete(smf); }
};

constexpr int first_meta_status = 0xF0;

}  // namespace

void for_each_message(const ScannedTrack& track, const std::function<void(const ChannelMessage&)>& take) {
  for (const std::string& piece : track.pieces) {
    const std::unique_ptr<smf_t, Delete> smf(
        smf_load_from_memory(piece.data(), static_cast<int>(piece.size())));
    smf_track_t* const events = smf == nullptr ? nullptr : smf_get_track_by_number(smf.get(), 1);
    if (events == nullptr) throw ReadError("libsmf cannot decode a track");
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
