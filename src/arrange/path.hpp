// The cheapest way through the candidates of all units: what they cost as music, what one costs after the
// other, and what both hands of the model that finger() uses have to do for it.
//
// What a unit costs depends on its candidate and on the state that the units before leave behind: their last
// candidate, and what the fret hand holds (hands::HandState). So the cheapest way is found by dynamic
// programming, unit after unit, in time linear in the music. States that are dearer than the cheapest by more
// than `margin` are not followed, nor more than `most_states` of them; equal costs are broken by order.
//
// Music that comes back is arranged as it was: the way is searched once through units that are new, and once
// more through all, where another candidate than the one chosen first costs `unlike` besides.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <vector>

#include "arrange/candidates.hpp"
#include "hands/model.hpp"

namespace fifthpeg::arranging {

inline constexpr int margin = 100;
inline constexpr std::size_t most_states = 150;
inline constexpr int unlike = 1000;
inline constexpr int margin_where_alike = unlike + 3 * margin;

struct Way {
  std::vector<Candidate> chosen;  // one for each unit
  std::int64_t cost = 0;
};

using Candidates = std::function<std::vector<Candidate>(const Unit&)>;

Way cheapest_way(const std::vector<Unit>& units, const Candidates& candidates, const hands::Model& model,
                 const Neckwork& neck, Seam seam);

// What units cost with what was chosen for each.
std::int64_t cost_of(const std::vector<Unit>& units, const std::vector<Candidate>& chosen,
                     const hands::Model& model, const Neckwork& neck, Seam seam);

}  // namespace fifthpeg::arranging
