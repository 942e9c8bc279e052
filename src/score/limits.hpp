// Limits that all readers share.
#pragma once

#include <cstddef>

namespace fifthpeg {

inline constexpr std::size_t most_measures = 200'000;  // of one part; a score takes about a kilobyte for each

// Of a MIDI file, in all: a few bytes hold a chord, or a rest, over any number of measures, and each measure
// costs as much as one that is full. More than an hour of silence.
inline constexpr std::size_t most_measures_without_onset = 2'000;

}  // namespace fifthpeg
