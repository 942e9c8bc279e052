// What is measured: each stage of a conversion, and what the libraries do alone with the same bytes.
#pragma once

#include <cstdint>
#include <string>
#include <tinyxml2.h>

#include "bench/pieces.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/read.hpp"
#include "fifthpeg/write.hpp"
#include "libsmf_load.hpp"

namespace fifthpeg::bench {

inline std::string written(const Score& score) {
  StringSink sink;
  write_musicxml(score, {}, sink);
  return sink.str();
}

// MIDI to MusicXML, with fingering, as `convert` does it, in memory.
inline std::string converted(const std::string& midi) {
  Reading reading = read_midi(midi);
  finger(reading.score);
  return written(reading.score);
}

// A piece at every stage.
struct Material {
  explicit Material(std::size_t notes)
      : midi(piece(notes)),
        played(piece(notes, 1, Timing::played)),
        read(read_midi(midi).score),
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
using testing::libsmf_load;

// tinyxml2's parse by itself; the document goes, too.
inline bool tinyxml2_parse(const std::string& xml) {
  tinyxml2::XMLDocument document;
  return document.Parse(xml.data(), xml.size()) == tinyxml2::XML_SUCCESS;
}

}  // namespace fifthpeg::bench
