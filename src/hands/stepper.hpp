// One stroke of the search: from all states that the stroke before may leave behind to all that may follow.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <vector>

#include "hands/model.hpp"
#include "hands/simd.hpp"
#include "hands/stroke_sequence.hpp"

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

// One step of the dynamic programming, with the room it works in.
class Stepper {
 public:
  explicit Stepper(const Model& model, bool prune = true) : model_(model), prune_(prune) {}

  static Frontier start();
  // The frontier after the next stroke; `links` becomes parallel to its values. A grip that is not `allowed`
  // (empty: all are) is not taken.
  Frontier step(const Frontier& from, const std::shared_ptr<const StrokeOptions>& next, Times times,
                std::vector<Backpointer>& links, const std::vector<bool>& allowed = {});

 private:
  // Costs of the hands that are gone on from, above the cheapest of all: many are compared at once. No state
  // is worth following that is `far` dearer than another: whatever can be done from it can be done from the
  // other for less than that, with ties broken and slurs picked at the worst.
  static constexpr int far = 12'000;

  // A hand that is gone on from.
  struct Leaving {
    const Frontier::Row* row = nullptr;
    int bars_spare = 0;
    const int* shifts = nullptr;  // to each position, at least
  };
  // At least what each hand's shift to a position costs, less what its bars may spare.
  struct Arrivals {
    bool known = false;
    std::vector<Cost16> costs;
  };
  struct Shifts {
    float seconds = -1.0F;  // for which they hold
    std::array<int, HandState::positions> to{};
  };

  void prepare(const Frontier& from, const StrokeOptions& next, Times times);
  void weigh_repeats(const StrokeOptions& before, const StrokeOptions& next, Times times);
  void gather(const Frontier& from);
  void settle(const Frontier& from, const StrokeOptions& next);
  const Cost16* arrivals_at(std::size_t position);
  const int* shifts_from(const HandState& hand);
  void try_hands(std::size_t g, Frontier& to, std::vector<Backpointer>& links);
  void try_grip(std::size_t g, std::size_t hand, Frontier& to, std::vector<Backpointer>& links);
  // `spared` is what bars may spare later on, or `unlimited`.
  static constexpr int unlimited = -1;
  void enter(std::size_t g, std::size_t hand, int cost, int spared, const HandState& after, int* limits,
             Frontier& to, std::vector<Backpointer>& links);
  std::size_t row_of(Frontier& to, const HandState& hand, const StrokeOptions::Outline& outline);
  std::size_t* slot_of(const Frontier& to, const HandState& hand);
  std::uint32_t before(std::size_t hand, std::size_t picking) const;
  void pass_over_picking_fingers(Frontier& to) const;

  const Model& model_;
  bool prune_;
  float seconds_ = 0.0F;
  const Frontier* from_ = nullptr;
  std::vector<Leaving> leaving_;      // the cheapest first
  std::vector<std::uint64_t> order_;  // their costs and rows
  std::array<Arrivals, HandState::positions> arrivals_;
  // As a block or not, by HandState::free_for, by position.
  std::array<std::array<std::array<Shifts, HandState::positions>, HandState::most_free + 1>, 2> shifts_{};

  // What a grip and picking have already led to with certainty: what is not below the limit cannot become
  // part of a cheaper way (FretHand::older_at_most_dearer, and another picking finger at most digit_gaps_).
  std::vector<int> limits_;               // of each grip, position if it is open, and picking
  std::vector<std::uint8_t> most_free_;   // of each row: it holds for hands that were free for no longer
  std::vector<int> picking_finger_gaps_;  // of each next picking: what may follow it costs at most so much
                                          // more than what follows another one of the same strings

  // Hands and pickings are filled up to whole lanes.
  std::size_t hands_ = 0;
  std::size_t pickings_ = 0;
  std::vector<Cost16> repeats_;        // of the pickings before, times the next ones, with what these cost
  std::vector<Cost16> settled_;        // by hand and next picking: the smallest cost so far
  std::vector<Cost16> by_picking_;     // the same by next picking and hand
  std::vector<Cost16> least_;          // by group of next pickings and hand
  std::vector<Cost16> worth_;          // of each hand: 1 where it is worth trying
  std::vector<std::uint32_t> worthy_;  // those hands
  std::size_t rows_before_ = 0;        // of the new frontier, before the grip that is tried
  std::vector<std::size_t> table_;     // hash table of its rows where a grip has many, 1 + index
};

}  // namespace fifthpeg::hands
