// The bytes of a standard MIDI file, event by event: proves them sound, says what is wrong and at which byte,
// and keeps what could be read. Nothing else looks at the bytes of a file.
//
// Channel messages are decoded by libsmf (messages.hpp), which cannot be given the file itself: it aborts on
// many damaged files and cannot take some sound ones (format 2, SMPTE divisions, meta events longer than 127
// bytes, escaped events; tempo changes outside the first track cost it quadratic time). So the scan writes
// the sound messages of each track anew, as files that are regular in every way. Meta events are kept here,
// because what is said of them names their byte.
//
// Source of the rules: Standard MIDI Files 1.0 (RP-001, MIDI Manufacturers Association).
#pragma once

#include <cstddef>
#include <cstdint>
#include <list>
#include <string>
#include <string_view>
#include <vector>

#include "fifthpeg/report.hpp"
#include "formats/midi/meta.hpp"

namespace fifthpeg::midi {

// Ticks beyond this are no music (9 hours at the finest division and 120 beats a minute); all below fit into
// 32 bits.
inline constexpr std::int64_t last_tick = 0x7fff0000;

// What a tick is.
struct Division {
  int ticks_per_quarter = 0;  // 0: ticks are real time
  int frames_per_second = 0;  // 24, 25, 29 (30 drop frame), 30
  int ticks_per_frame = 0;
};

struct ScannedTrack {
  std::size_t byte = 0;          // of its chunk
  bool lacks_end = false;        // it is whole but for its end-of-track event,
  std::size_t chunk_end = 0;     // which belongs there
  std::vector<MetaEvent> metas;  // those of known types, in file order; end of track is not among them
  // The channel messages, in file order: sound MIDI files of one track, with the ticks that they have here.
  // Each is short, because libsmf takes some 130 bytes for each event and lets go of them in quadratic time.
  std::vector<std::string> pieces;
  std::int64_t end = 0;  // tick of the end of the track
};

// Damage beyond reading: whatever follows it in its track is lost.
struct Damage {
  std::string slug;  // "midi-cut-off": stable, for programs
  std::string text;  // one sentence
  std::size_t byte = 0;
};

struct Scan {
  int format = 0;
  std::size_t riff_length_at = 0;  // of the RIFF chunk that the music is in; 0 where it is in none
  Division division;
  std::vector<ScannedTrack> tracks;
  std::list<std::string> made;  // data of meta events that were put in the place of the file's
  Report report;                // repairs and losses, each place with its byte
  std::vector<Damage> damage;   // in order; empty: the whole file was read
};

// Never throws for what the bytes hold. A file that is not recognized at all gives no tracks and one damage.
Scan scan(std::string_view bytes);

}  // namespace fifthpeg::midi
