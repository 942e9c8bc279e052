// The tuning of a part that states none, from where its notes lie.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <optional>

#include "fifthpeg/banjo.hpp"

namespace fifthpeg::musicxml {

// How often each MIDI number was met as that of an open string (the note's, less its fret); by string from 1.
using OpenStrings = std::array<std::map<int, std::uint64_t>, string_count + 1>;

// So many places on a string, three quarters of them agreeing, prove how it is tuned. One alone may be what
// is wrong.
inline constexpr std::uint64_t places_that_prove = 3;

// What the places on a string prove, or nothing.
std::optional<int> proven_open(const OpenStrings& met, int string);

struct InferredTuning {
  Tuning tuning;    // without capo
  int octaves = 0;  // what the pitches have to be moved by to be those of the tuning
  // Places that agree with it: with none, it is open G because nothing says otherwise.
  std::uint64_t explained = 0;
};

// The known tuning that explains most places and none of whose strings contradicts what is proven; on a tie
// the first, so that where nothing says otherwise it is open G. Where no known tuning does: open G with the
// strings that are proven to differ. `capo` raises all strings.
InferredTuning infer_tuning(const OpenStrings& met, int capo);

}  // namespace fifthpeg::musicxml
