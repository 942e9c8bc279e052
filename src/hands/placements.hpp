// The ways to lay one stroke on the strings.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "hands/reach.hpp"
#include "hands/wanted.hpp"

namespace fifthpeg::hands {

// A placement for every note of a stroke, in the order of its notes.
struct Laid {
  std::array<Placement, string_count> notes;
  std::int8_t count = 0;
  std::int8_t low_fret = 0;  // of the stopped notes; 0 where all strings ring open
  std::int8_t high_fret = 0;
};

// All of them that one hand can hold: one note a string, frets that exist, no stretch past the hard limit,
// no more fingers than there are. In a fixed order; empty where there is none.
std::vector<Laid> ways_to_lay(const WantedStroke& stroke, const Banjo& banjo, const Neck& neck);

}  // namespace fifthpeg::hands
