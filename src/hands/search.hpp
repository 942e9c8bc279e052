// The search: the cheapest way through the whole piece under the cost table, as far as it is proven below.
//
// What a stroke costs depends on the stroke, on what the hands do for it, and on the state that the stroke
// before left behind, and on nothing else. That state is
//   the fret hand's (HandState): its position, which fingers are down and where, which of them have left the
//     shape that they were put down for, and which strings ring;
//   the picking hand's (Picking): which picking fingers struck which strings in the stroke before.
// A stroke offers grips (strings, frets, fingers, techniques) and, for the strings that a grip leaves to be
// picked, pickings. So the cheapest way is found by dynamic programming over these states, stroke after
// stroke, in time linear in the strokes.
//
// The cost of going on splits into the fret hand's part, which knows nothing of picking fingers, and the
// picking hand's, which knows nothing of frets. Therefore the picking fingers of the stroke before are
// settled first, once for each hand state and each next picking, and only then the grips are tried.
//
// States that are dearer than the cheapest by more than some margins (stepper.hpp) are not followed, which is
// not without loss: of 1,320 random passages of four to six strokes the margins alone miss the cheapest way
// of 49, mostly by a few units. Therefore a line of up to `proven_line` strokes is searched once more with
// nothing left out but what costs more than the way found: unless the states outgrow a limit, its way is
// proven to be the cheapest, and a test compares it with a shortest path in a graph. For longer lines nothing
// is proven: their ways are cheap, and the figures of tests/hands/scoreboard_test.cpp hold them to what
// players do.
//
// In either case where the hand stands is settled by one more search, among what does the same with the same
// fingers: with nothing left out, so that what has been fingered costs the same when it is fingered again.
//
// Note values count, not seconds, so that music at another tempo is played at the same places with the same
// fingers. Only then the picking fingers are settled once more for these grips, with the time that the tempo
// leaves them; that is a cheapest path again, with nothing left out. Where even so a picking finger would
// have to strike again faster than it goes, the tempo decides places after all: the piece is searched in
// time.
//
// Equal costs are broken by order: of grips, of pickings, of states as they were first reached.
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <memory>
#include <vector>

#include "hands/fit.hpp"
#include "hands/model.hpp"
#include "hands/recurrence.hpp"
#include "hands/stepper.hpp"

namespace fifthpeg::hands {

// The strokes' options in order, with a look at the two that follow.
class Ahead {
 public:
  Ahead(const Score& score, const std::vector<Event>& line, const Fit& fit, Candidates& candidates)
      : line_(line), strokes_(score, line, fit), candidates_(candidates) {}

  std::shared_ptr<const StrokeOptions> next() {
    while (read_ < line_.size() && coming_.size() < 3)
      coming_.push_back(candidates_.of(strokes_.at(read_++)));
    auto first = coming_.front();
    coming_.erase(coming_.begin());
    return first;
  }
  Coming coming() const {
    Coming result;
    for (const auto& options : coming_) result.margin = std::max(result.margin, options->margin);
    const std::size_t following = read_ - coming_.size();
    if (following < line_.size())
      result.wait = line_[following].wait;
    else
      result.wait = {longest_wait_seconds, 1.0F};
    return result;
  }

 private:
  const std::vector<Event>& line_;
  std::uint32_t read_ = 0;
  RequestedStrokes strokes_;
  Candidates& candidates_;
  std::vector<std::shared_ptr<const StrokeOptions>> coming_;
};

struct Path {
  Cost cost = 0;                    // without what was charged for wishes
  std::vector<Decision> decisions;  // one a stroke of the line
  Wishes wishes;                    // with which it was found
  bool in_time = false;             // and whether with the tempo
};

// With what comes back fingered alike: searched once with each measure by itself, and again with wishes that
// it be like the others.
Path cheapest_path(const Score& score, const std::vector<Event>& line, const Fit& fit, const Model& model,
                   Candidates& candidates);
// The same without regard to what comes back; with the wishes' charges in its cost.
Path cheapest_path(const Score& score, const std::vector<Event>& line, const Fit& fit, const Model& model,
                   Candidates& candidates, Wishes wishes, bool in_time);
inline constexpr std::size_t proven_line = 12;  // strokes
inline constexpr std::size_t most_rows_proven = 60'000;

// What each stroke of a way costs, by CostKind.
std::vector<std::array<std::int64_t, cost_kinds>> costs_by_kind(const Score& score,
                                                                const std::vector<Event>& line,
                                                                const Fit& fit, const Model& model,
                                                                Candidates& candidates, const Path& path);

}  // namespace fifthpeg::hands
