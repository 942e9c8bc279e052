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
  // The frontier after the next stroke, which comes after `seconds`; `links` becomes parallel to its values.
  // A grip that is not `allowed` (empty: all are) is not taken.
  Frontier step(const Frontier& from, const std::shared_ptr<const StrokeOptions>& next, float seconds,
                std::vector<Link>& links, const std::vector<bool>& allowed = {});

 private:
  void settle_digits(const Frontier& from, const StrokeOptions& next, float seconds);
  void order_hands(std::size_t hands, std::size_t pickings);
  std::size_t place_of(Frontier& frontier, const HandState& hand);
  void clear_places(std::size_t expected);

  void prepare(const Frontier& from, const StrokeOptions& next, float seconds);
  const int* shifts_from(const HandState& hand);
  void try_grip(std::size_t g, Frontier& frontier, std::vector<Link>& links);

  const Model& model_;
  bool prune_;
  // What a grip and picking have already led to with certainty: an entry that is not below the limit cannot
  // become part of a cheaper way (FretHand::older_at_most_dearer).
  std::vector<int> limits_;              // of each row of StrokeOptions, by picking
  std::vector<int> highest_limit_;       // of each grip that stops a string
  std::vector<std::uint8_t> most_free_;  // of each row: it holds for hands that were free for no longer
  struct Leaving {                       // the hand that is gone on from
    HandState hand;
    std::size_t index = 0;
    int bars_spare = 0;
    const int* shifts = nullptr;  // to each position
  } leaving_;
  float seconds_ = 0.0F;
  struct Shifts {
    float seconds = -1.0F;  // for which they hold
    std::array<int, HandState::positions> to{};
  };
  // As a block or not, by HandState::free_for, by position.
  std::array<std::array<std::array<Shifts, HandState::positions>, HandState::most_free + 1>, 2> shifts_{};
  std::vector<int> repeats_;               // of the pickings before, times the next ones
  std::vector<int> settled_;               // of hand h before the next picking p: the smallest cost so far
  std::vector<std::uint32_t> settled_by_;  // and the entry that has it
  std::vector<int> cheapest_;              // of hand h: the smallest of its settled costs
  std::vector<std::uint32_t> order_;       // hands, the cheapest first
  std::vector<std::uint32_t> table_;       // hash table of hands in the new frontier, 1 + index
};

}  // namespace fifthpeg::hands
