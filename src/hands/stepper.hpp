// One stroke of the search: from all states that the stroke before may leave behind to all that may follow.
#pragma once

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
  int demands = 1;  // the most, see StrokeOptions
  Wait wait;        // to the next
};

// One step of the dynamic programming, with the room it works in.
class Stepper {
 public:
  // No state is followed that is more than this dearer than the cheapest with the same picking, times what
  // the strokes that follow demand; nor with another picking, by more than its repeat can cost besides.
  static constexpr int usual_margin = 60;
  static constexpr int no_margin = 1 << 28;  // and nothing else is left out
  static constexpr std::size_t most_leaders = 16;

  explicit Stepper(const Model& model) : Stepper(model, usual_margin) {}
  Stepper(const Model& model, int margin) : model_(model), usual_(margin), margin_(margin) {}

  static Frontier start();
  // The frontier after the next stroke; `links` becomes parallel to its values. `more` (empty: nothing) is
  // charged for each grip besides; a grip at `unreached`  is not taken.
  Frontier step(const Frontier& from, const std::shared_ptr<const StrokeOptions>& next, Wait wait,
                std::vector<Backpointer>& links, const std::vector<int>& more, Coming coming);

 private:
  void settle(const Frontier& from, const StrokeOptions& next, Wait wait);
  std::uint32_t before(const Frontier& from, std::size_t row, std::size_t picking) const;
  std::size_t row_of(Frontier& to, const HandState& hand, const StrokeOptions::Group& group);
  void drop_dear(Frontier& to, std::vector<Backpointer>& links, int demands);
  bool is_superfluous(const Frontier& to, const Frontier::Row& row) const;

  const Model& model_;
  int usual_;
  int margin_;
  int gap_ = 0;                         // between pickings
  std::vector<int> bests_;              // of each next picking: the smallest cost so far
  std::vector<int> repeats_;            // of the pickings before, times the next ones, with what these cost
  std::vector<int> settled_;            // by row before and next picking: the smallest cost so far
  std::vector<std::uint32_t> order_;    // rows before, the cheapest first
  std::vector<int> cheapest_;           // of each row before
  std::vector<std::uint32_t> kept_;     // new rows
  std::vector<std::uint32_t> leaders_;  // new rows that others are compared with
  std::vector<std::uint32_t> table_;    // hash table of the new rows: 1 + index
};

}  // namespace fifthpeg::hands
