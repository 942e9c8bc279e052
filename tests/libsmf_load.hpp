// libsmf's load, for tests and benchmarks.
#pragma once

#include <cstdlib>
#include <memory>
#include <smf.h>
#include <string>

namespace fifthpeg::testing {

// Lets the events go by itself: smf_delete() looks each up from the front of its track, in quadratic time.
struct Dropped {
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
using LoadedSmf = std::unique_ptr<smf_t, Dropped>;

// Null where libsmf does not take the file. For sound files only: damage may make it abort.
inline LoadedSmf libsmf_load(const std::string& file) {
  return LoadedSmf(smf_load_from_memory(file.data(), static_cast<int>(file.size())));
}

}  // namespace fifthpeg::testing
