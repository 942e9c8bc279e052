// What is measured: each stage of a conversion, and what the libraries do alone with the same bytes.
#pragma once

#include <cstdint>
#include <cstdlib>
#include <memory>
#include <smf.h>
#include <string>
#include <tinyxml2.h>

#include "bench/pieces.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/read.hpp"
#include "fifthpeg/write.hpp"

namespace fifthpeg::bench {

inline std::string written(const Score& score) {
  StringSink sink;
  Report report;
  write_musicxml(score, {}, sink, report);
  return sink.str();
}

// MIDI to MusicXML, with fingering, as `convert` does it, in memory.
inline std::string converted(const std::string& midi) {
  Reading reading = read_smf(midi);
  finger(reading.score);
  return written(reading.score);
}

// A piece at every stage.
struct Material {
  explicit Material(std::size_t notes)
      : midi(piece(notes)),
        played(piece(notes, 1, Timing::played)),
        read(read_smf(midi).score),
        fingered(read) {
    finger(fingered);
    musicxml = written(fingered);
  }
  std::string midi;
  std::string played;  // the same notes, played
  Score read;
  Score fingered;
  std::string musicxml;
};

// What libsmf loaded is let go outside of what is measured: its own smf_delete() is quadratic.
struct LetGo {
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

// libsmf's load by itself.
inline std::unique_ptr<smf_t, LetGo> libsmf_load(const std::string& midi) {
  return std::unique_ptr<smf_t, LetGo>(smf_load_from_memory(midi.data(), static_cast<int>(midi.size())));
}

// tinyxml2's parse by itself; the document goes, too.
inline bool tinyxml2_parse(const std::string& xml) {
  tinyxml2::XMLDocument document;
  return document.Parse(xml.data(), xml.size()) == tinyxml2::XML_SUCCESS;
}

}  // namespace fifthpeg::bench
