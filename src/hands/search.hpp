// The exact search: the cheapest way through the whole piece under the cost table.
//
// What one stroke's cost may depend on is, besides the stroke, only the state after the stroke before it:
// the strings and frets of that stroke, and the position of the fret hand, which is the lowest fret it
// stops and which open strings leave where it is. So the cheapest way is found by dynamic programming over
// these states, stroke after stroke, in time linear in the strokes.
#pragma once

#include <vector>

#include "hands/costs.hpp"
#include "hands/fit.hpp"
#include "hands/placements.hpp"

namespace fifthpeg::hands {

struct Way {
  Cost cost = 0;
  std::vector<Placement> placements;  // of every note that is kept, in order
};

Way cheapest_way(const Score& score, const std::vector<Instant>& line, const Fit& fit, bool keep,
                 const Neck& neck);

}  // namespace fifthpeg::hands
