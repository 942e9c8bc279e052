// The music that is measured: rolls at two notes a beat over changing chords, with a melody on the strong
// beats, as a MIDI file. Made anew on every run, and the same bytes on every machine.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>

namespace fifthpeg::bench {

// written: each note exactly on its time and for its whole length, as notation programs save it.
// played: up to 10 ms early or late, and let go somewhere between five eighths and nine tenths of its length.
enum class Timing { written, played };

// A piece of exactly `notes` notes in 4/4, eight to a measure. Another seed gives another piece.
std::string piece(std::size_t notes, std::uint32_t seed = 1, Timing timing = Timing::written);

// What a teacher hands out: eight measures.
inline constexpr std::size_t lick_notes = 64;
inline std::string lick(std::uint32_t seed = 1) {
  return piece(lick_notes, seed);
}

}  // namespace fifthpeg::bench
