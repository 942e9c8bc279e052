// Fixed points that were asked for, each with the note that it is for.
#pragma once

#include <cstdint>
#include <vector>

#include "fifthpeg/hands.hpp"
#include "hands/request.hpp"
#include "hands/stroke_sequence.hpp"

namespace fifthpeg::hands {

struct FixedNote {
  std::uint32_t event = 0;  // index into the line
  std::uint32_t note = 0;   // index into Stroke::notes
  FixedPoint point;
};

// Finds the notes. Throws UnplayableError where there is none, or more than one.
std::vector<FixedNote> fixed_notes(const Score& score, const std::vector<Event>& line,
                                   const std::vector<FixedPoint>& points);

// Puts what is fixed into what is asked of the note. Throws UnplayableError, at `place`, where no string
// gives it so.
void fix(const FixedPoint& point, const Banjo& banjo, const Place& place, RequestedNote& note);

}  // namespace fifthpeg::hands
