// From ticks to note values: where in notated time each stroke begins.
//
// Beat by beat, the subdivision is searched that explains the onsets best. In a file that a notation program
// wrote, that is the simplest one that meets every onset exactly, as far as its ticks can say. In a played
// file it is the one with the least cost: squared distance from the grid, measured against how evenly
// people play, plus what a reader pays for a fine or an odd subdivision.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "fifthpeg/fraction.hpp"
#include "formats/midi/reader/bars.hpp"
#include "formats/midi/reader/tempo_map.hpp"

namespace fifthpeg::midi::reader {

// How far a played onset usually lies from where it belongs, as a standard deviation in seconds. Played
// with a click, professionals stay near 10 ms, amateurs near 20 ms (common practice).
inline constexpr double played_spread_s = 0.012;

struct Grid {
  std::vector<Fraction> onsets;  // whole notes from the beginning of the piece, never decreasing
  bool exact = false;            // the file was written, not played
  double residual = 0.0;         // mean distance moved, in whole notes; 0 where exact
  double residual_seconds = 0.0;
};

// Onsets are in ticks, in order. `step` forces the grid to its multiples, counted from each barline.
Grid quantize_onsets(const std::vector<std::int64_t>& ticks, const TempoMap& map, const Bars& bars,
                     std::optional<Fraction> step);

}  // namespace fifthpeg::midi::reader
