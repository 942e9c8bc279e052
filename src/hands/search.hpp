// The exact search: the cheapest way through the whole piece under the cost table.
//
// What a stroke costs depends on the stroke, on what the hands do for it, and on the state that the stroke
// before left behind, and on nothing else. That state is
//   the fret hand's (HandState): its position, how long nothing has needed it, which strings sounded in the
//     stroke before, and which fingers hold what, each remembered for a few strokes;
//   the picking hand's (Picking): which digits struck which strings in the stroke before.
// A stroke offers grips (strings, frets, fingers, techniques) and, for the strings that a grip leaves to be
// picked, pickings. So the cheapest way is found by dynamic programming over these states, stroke after
// stroke, in time linear in the strokes.
//
// The cost of going on splits into the fret hand's part, which knows nothing of digits, and the picking
// hand's, which knows nothing of frets. Therefore the digits of the stroke before are settled first, once
// for each hand state and each next picking, and only then the grips are tried.
//
// A hand state is passed over only where another one is provably no worse: any way on from the other costs
// more than the same way on from it by no more than the other leads already, whichever picking follows
// (FretHand::is_no_dearer). The result is the same with and without; tests compare them.
//
// Equal costs are broken by order: of grips, of pickings, of states as they were first reached.
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <vector>

#include "hands/fit.hpp"
#include "hands/model.hpp"

namespace fifthpeg::hands {

// What was decided for a stroke: indices into its StrokeOptions.
struct Decision {
  std::uint16_t grip = 0;
  std::uint16_t picking = 0;
};

struct Way {
  Cost cost = 0;
  std::vector<Decision> decisions;  // one a stroke of the line
};

// All states after a stroke that are worth keeping, with the cheapest way to each.
struct Frontier {
  static constexpr int unreached = 1 << 29;

  std::vector<HandState> hands;
  std::size_t pickings = 0;  // of the stroke's options
  std::vector<int> values;   // of hand h with picking p, at h * pickings + p; the smallest is 0
  Cost base = 0;             // what has been taken off the values
  std::shared_ptr<const StrokeOptions> options;

  // The first cheapest entry.
  std::size_t best() const;
};

// How an entry of a frontier was reached.
struct Link {
  static constexpr std::uint32_t nowhere = UINT32_MAX;
  std::uint32_t before = nowhere;  // entry of the frontier before
  Decision decision;
};

// One step of the dynamic programming, with the room it works in.
class Stepper {
 public:
  explicit Stepper(const Model& model, bool prune = true) : model_(model), prune_(prune) {}

  static Frontier start();
  std::size_t kept() const { return kept_.size(); }
  // The frontier after the next stroke, which comes after `seconds` and is followed after `seconds_after`;
  // `links` becomes parallel to its values. A grip that is not `allowed` (empty: all are) is not taken.
  Frontier step(const Frontier& from, const std::shared_ptr<const StrokeOptions>& next, float seconds,
                float seconds_after, std::vector<Link>& links, const std::vector<bool>& allowed = {});

 private:
  void settle_digits(const Frontier& from, const StrokeOptions& next, float seconds);
  void pass_over(const Frontier& from, const StrokeOptions& next, const Ahead& ahead);
  bool is_superfluous(const Frontier& from, std::uint32_t hand, const Ahead& ahead,
                      std::size_t pickings) const;
  std::size_t place_of(Frontier& frontier, const HandState& hand);
  void clear_places(std::size_t expected);

  void clear_limits(const StrokeOptions& next);
  void try_grip(const Frontier& from, std::uint32_t h, std::size_t g, float seconds, Frontier& frontier,
                std::vector<Link>& links);

  const Model& model_;
  bool prune_;
  // What a grip and picking have already led to with certainty: an entry that is not below the limit cannot
  // become part of a cheaper way (FretHand::older_at_most_dearer).
  std::vector<int> limits_;
  std::vector<std::size_t> row_of_;      // of each grip, in limits_
  std::vector<std::uint8_t> most_free_;  // of each row: it holds for hands that were free for no longer
  std::array<int, HandState::positions>
      shifts_{};  // of the hand gone on from, to each position; -1: not needed yet
  bool hand_has_bar_ = false;
  std::vector<int> repeats_;               // of the pickings before, times the next ones
  std::vector<int> settled_;               // of hand h before the next picking p: the smallest cost so far
  std::vector<std::uint32_t> settled_by_;  // and the entry that has it
  std::vector<int> cheapest_;              // of hand h: the smallest of its settled costs
  std::vector<std::uint32_t> order_;       // hands, the cheapest first
  std::vector<std::uint32_t> kept_;        // hands that are gone on from
  std::vector<std::uint32_t> table_;       // hash table of hands in the new frontier, 1 + index
};

// The time after the stroke after `instant`; see Ahead.
float seconds_after(const std::vector<Instant>& line, std::size_t instant);

Way cheapest_way(const Score& score, const std::vector<Instant>& line, const Fit& fit, const Model& model,
                 Repertoire& repertoire, bool prune = true);

// What each stroke of a way costs, by CostKind.
std::vector<std::array<std::int64_t, cost_kinds>> costs_by_kind(const Score& score,
                                                                const std::vector<Instant>& line,
                                                                const Fit& fit, const Model& model,
                                                                Repertoire& repertoire, const Way& way);

}  // namespace fifthpeg::hands
