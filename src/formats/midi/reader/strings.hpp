// One channel a string, as pitch-to-MIDI pickups send it and as this project's own writer can write it.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <vector>

#include "fifthpeg/banjo.hpp"
#include "formats/midi/note_pairing.hpp"

namespace fifthpeg::midi::reader {

// Parts that are the strings of one banjo: the part of string n at index n - 1, or no_part where that
// string is never played. A part without a string (channel 6 of our own files) may go along.
struct StringParts {
  static constexpr std::size_t no_part = static_cast<std::size_t>(-1);
  std::array<std::size_t, string_count> parts{no_part, no_part, no_part, no_part, no_part};
  std::size_t unplaced = no_part;

  bool any() const;
};

// Looks for them by shape: channels 1 to 5 of one track, or five tracks in a row, at least four of them with
// notes, all of one program, each one note at a time and only pitches that string n of `banjo` has.
// `stated`: the file says that channels are strings, then of its track only the pitches have to fit.
struct StatedStrings {
  std::size_t track = 0;
  int first_channel = 0;  // see channel_behind()
};
std::optional<StringParts> find_strings(const std::vector<PlayedPart>& parts, const Banjo& banjo,
                                        const std::optional<StatedStrings>& stated);

// The string, counted from 0, that a channel stands for; string_count for notes without one; nothing for a
// channel that is none of the banjo's.
std::optional<int> string_of_channel(int channel, int first_channel);

}  // namespace fifthpeg::midi::reader
