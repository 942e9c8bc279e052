// Which notes of a score have a place on a banjo when it is moved.
#pragma once

#include <array>
#include <cstdint>

#include "fifthpeg/banjo.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg {

// How many notes there are of each kind: what decides whether a note has a place is its pitch, and whether it
// is a chime or choked. A piece may have a million notes, and has few kinds. Dead notes have a place
// anywhere.
class NoteKinds {
 public:
  explicit NoteKinds(const Score& score);

  // How many of the notes have no place.
  std::uint64_t outside(const Banjo& banjo, int half_steps) const;

 private:
  // Far beyond all pitches that MusicXML can write.
  static constexpr int lowest = -64;
  static constexpr int highest = 191;

  static std::size_t index(const Note& note);
  static StringSound sound_of(std::size_t index, int half_steps);

  std::array<std::uint64_t, std::size_t{highest - lowest + 1} * 4> counts_{};
};

// The octave nearest to the written one in which the fewest notes have no place, in half steps.
int nearest_octave(const NoteKinds& kinds, const Banjo& banjo);

}  // namespace fifthpeg
