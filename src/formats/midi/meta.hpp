// Meta events, and what those say that matter to music.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::midi {

// Meta event types of Standard MIDI Files 1.0.
enum class Meta : std::uint8_t {
  sequence_number = 0x00,
  text = 0x01,
  copyright = 0x02,
  track_name = 0x03,
  instrument_name = 0x04,
  lyric = 0x05,
  marker = 0x06,
  cue_point = 0x07,
  program_name = 0x08,
  device_name = 0x09,
  channel_prefix = 0x20,
  port = 0x21,
  end_of_track = 0x2f,
  tempo = 0x51,
  smpte_offset = 0x54,
  time_signature = 0x58,
  key_signature = 0x59,
  sequencer_specific = 0x7f,
};

constexpr bool is_text(Meta type) {
  return type >= Meta::text && type <= Meta::device_name;
}

struct MetaEvent {
  std::int64_t tick = 0;
  std::size_t byte = 0;  // where the event (its FF) stands in the file
  Meta type = Meta::text;
  std::string_view data;  // of the scanned bytes
};

// Where an event, or anything else, stands in a file.
Place at_byte(std::size_t byte);

// What an event says, by its type: a tempo in microseconds a quarter note, a meter, a key. Nothing where it
// is of another type, or where what it says cannot be.
std::optional<std::uint32_t> tempo_in(const MetaEvent& meta);
std::optional<Meter> meter_in(const MetaEvent& meta);
std::optional<Key> key_in(const MetaEvent& meta);

}  // namespace fifthpeg::midi
