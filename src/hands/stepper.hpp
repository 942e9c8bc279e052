// One stroke of the search: from all states that the stroke before may leave behind to all that may follow.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <vector>

#include "hands/model.hpp"

namespace fifthpeg::hands {

// What was decided for a stroke: indices into its StrokeOptions.
struct Decision {
  std::uint16_t grip = 0;
  std::uint16_t picking = 0;
};

// All states after a stroke that are worth keeping, with the cheapest way to each.
struct Frontier {
  static constexpr int unreached = 1 << 29;

  // A state of the fret hand, with each of some pickings: `pickings` of the stroke's, from `first_picking`,
  // their values from `first_value`.
  struct Row {
    HandState hand;
    std::uint32_t first_value = 0;
    std::uint16_t first_picking = 0;
    std::uint16_t pickings = 0;
  };
  std::vector<Row> rows;
  std::vector<int> values;  // the smallest is 0
  Cost base = 0;            // what has been taken off the values
  std::shared_ptr<const StrokeOptions> options;

  // The first cheapest value.
  std::size_t best() const;
};

// How a value of a frontier was reached.
struct Backpointer {
  static constexpr std::uint32_t nowhere = UINT32_MAX;
  std::uint32_t before = nowhere;  // value of the frontier before
  Decision decision;
};

// What the strokes that follow ask of those before.
struct Coming {
  int margin = StrokeOptions::usual_margin;  // the widest
  Wait wait;                                 // to the next
};

// One step of the dynamic programming, with the room it works in.
class Stepper {
 public:
  // No state is followed that is dearer than the cheapest with the same picking by more than the margin of
  // the strokes that follow; nor than the cheapest with another picking by more than its repeat can cost
  // besides. But for the cheapest ones of each position of the hand, and those near them,
  static constexpr Cost no_bound = Cost{1} << 60;
  static constexpr int position_margin = 10;
  static constexpr int far_margin = 200;  // and no more than this dearer than the cheapest

  // With the tempo or without: in time, a picking finger that has too little of it to strike again costs what
  // PickingHand::hurry_cost() says.
  Stepper(const Model& model, bool in_time) : Stepper(model, in_time, no_bound) {}
  // Leaves out nothing but what costs more than the bound. No cost is negative: what it finds within the
  // bound is the cheapest.
  static Stepper within(const Model& model, bool in_time, Cost bound) { return {model, in_time, bound}; }

  static Frontier start();
  // The frontier after the next stroke; `links` becomes parallel to its values. `more` (empty: nothing) is
  // charged for each grip besides; a grip at `unreached`  is not taken.
  Frontier step(const Frontier& from, const std::shared_ptr<const StrokeOptions>& next, Wait wait,
                std::vector<Backpointer>& links, const std::vector<int>& more, Coming coming);

 private:
  static constexpr std::size_t unknown_position = highest_fret + 1;
  static constexpr std::size_t positions = unknown_position + 1;
  Stepper(const Model& model, bool in_time, Cost bound) : model_(model), in_time_(in_time), bound_(bound) {}

  bool is_worth(std::size_t picking, std::size_t position, int value) const;
  struct Worth {
    int near;
    int far;
  };
  Worth most_worth(std::size_t row, const StrokeOptions::Group& group, std::size_t count) const;
  const std::vector<std::uint16_t>& grips_from(std::size_t position, const StrokeOptions& next);
  void settle(const Frontier& from, const StrokeOptions& next, Wait wait);
  std::uint32_t before(const Frontier& from, std::size_t row, std::size_t picking) const;
  std::size_t row_of(Frontier& to, const HandState& hand, const StrokeOptions::Group& group);
  void drop_dear(Frontier& to, std::vector<Backpointer>& links);

  const Model& model_;
  bool in_time_;
  Cost bound_;
  // Of the step at hand.
  int margin_ = 0;
  int gap_ = 0;                       // between pickings
  int bound_left_ = 0;                // above the frontier before
  int best_ = 0;                      // the smallest cost so far
  std::vector<int> bests_;            // of each next picking
  std::vector<int> of_position_;      // of each next picking, times the positions of the hand
  std::vector<int> repeats_;          // of the pickings before, times the next ones, with what these cost
  std::vector<int> settled_;          // by row before and next picking: the smallest cost so far
  std::vector<std::uint32_t> order_;  // rows before, the cheapest first
  std::vector<int> cheapest_;         // of each row before
  std::vector<int> own_costs_;        // of each grip, whatever was before
  std::vector<Worth> most_worth_;     // by the first picking of a group
  std::array<std::vector<std::uint16_t>, positions> grips_from_;
  std::array<bool, positions> grips_known_{};
  std::vector<std::uint32_t> table_;  // hash table of the new rows, a power of two: 1 + index
};

}  // namespace fifthpeg::hands
