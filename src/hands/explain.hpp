// Why a way is as it is: cost by kind, and what the next best string would have cost.
#pragma once

#include <vector>

#include "fifthpeg/hands.hpp"
#include "hands/search.hpp"

namespace fifthpeg::hands {

// For every stroke of the line. The runner-up string of a note is found by searching on from the stroke
// before with the note kept off its string, until all that can follow costs what it did or
// `look_ahead` strokes have passed.
std::vector<Explained> explain(const Score& score, const std::vector<Event>& line, const Fit& fit,
                               const Model& model, Candidates& candidates, const Path& path);

inline constexpr std::size_t look_ahead = 128;

}  // namespace fifthpeg::hands
