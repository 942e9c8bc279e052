// The exact search: the cheapest way through the whole piece under the cost table.
//
// What a stroke costs depends on the stroke, on what the hands do for it, and on the state that the stroke
// before left behind, and on nothing else. That state is
//   the fret hand's (HandState): its position, how long nothing has needed it, which strings sounded in the
//     stroke before, and which fingers hold what, each remembered for a few strokes;
//   the picking hand's (Picking): which picking fingers struck which strings in the stroke before.
// A stroke offers grips (strings, frets, fingers, techniques) and, for the strings that a grip leaves to be
// picked, pickings. So the cheapest way is found by dynamic programming over these states, stroke after
// stroke, in time linear in the strokes.
//
// The cost of going on splits into the fret hand's part, which knows nothing of picking fingers, and the
// picking hand's, which knows nothing of frets. Therefore the picking fingers of the stroke before are
// settled first, once for each hand state and each next picking, and only then the grips are tried.
//
// Three things are left out because they provably change no cost:
//   a grip from a state where what it has led to from others is no worse, whichever picking follows: states
//     after one grip differ only in fingers that stayed down from before, and what that may still cost or
//     spare is bounded (dominance.cpp);
//   a picking that is dearer than another of the same strings by more than using that one's picking fingers
//   twice in
//     a row, or dropping the thumb beyond its nail, can cost at the next stroke;
//   in a state, a finger left down that neither rings nor bars: it may as well be put down anew.
// The first two can be switched off; tests compare the results, and hold both to an explicit graph.
//
// Equal costs are broken by order: of grips, of pickings, of states as they were first reached.
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <vector>

#include "hands/fit.hpp"
#include "hands/model.hpp"
#include "hands/stepper.hpp"

namespace fifthpeg::hands {

struct Path {
  Cost cost = 0;
  std::vector<Decision> decisions;  // one a stroke of the line
};

Path cheapest_path(const Score& score, const std::vector<Event>& line, const Fit& fit, const Model& model,
                   Candidates& candidates, bool prune = true);

// What each stroke of a way costs, by CostKind.
std::vector<std::array<std::int64_t, cost_kinds>> costs_by_kind(const Score& score,
                                                                const std::vector<Event>& line,
                                                                const Fit& fit, const Model& model,
                                                                Candidates& candidates, const Path& path);

}  // namespace fifthpeg::hands
