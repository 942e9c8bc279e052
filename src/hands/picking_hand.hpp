// The picking hand: which picking finger strikes which string, and what it costs to go on from one stroke to
// the next.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "hands/costs.hpp"
#include "hands/request.hpp"
#include "hands/shapes.hpp"
#include "hands/stroke_sequence.hpp"

namespace fifthpeg::hands {

inline constexpr std::int8_t no_picking_finger = -1;

// One way to strike the picked strings of a stroke. With no string picked, the hand has time to spare.
struct Picking {
  std::array<std::int8_t, string_count> picking_fingers{no_picking_finger, no_picking_finger,
                                                        no_picking_finger, no_picking_finger,
                                                        no_picking_finger};  // of string 1 ...
  std::uint8_t strings = 0;                                                  // picked, as bits
  std::uint8_t used = 0;                                                     // digits, as bits
  std::uint8_t dropped = 0;      // strings 1 to 4 that the thumb strikes, as bits
  std::uint8_t beyond_nail = 0;  // strings that the thumb does not drop to after it: beyond the nail's
  int cost = 0;
  friend bool operator==(const Picking&, const Picking&) = default;
};

// What is asked of the picking hand: strings, and for each the picking finger that is fixed, or no_digit.
struct Struck {
  std::uint8_t strings = 0;
  std::array<std::int8_t, string_count> fixed{no_picking_finger, no_picking_finger, no_picking_finger,
                                              no_picking_finger, no_picking_finger};
  bool brush = false;
  bool off_beat = false;
};

// Fills in Picking::dropped and Picking::beyond_nail from the picking fingers.
void note_drops(Picking& picking);

class PickingHand {
 public:
  PickingHand(Style style, const CostTable& costs) : style_(style), costs_(costs) {}

  // All ways, in a fixed order: picking fingers stand along the strings, the thumb on the lowest-lying; one
  // string a picking finger unless it is a brush. Empty where fixed picking fingers do not go together.
  std::vector<Picking> pickings(const Struck& struck) const;

  // What one stroke after another costs: a picking finger twice in a row, the thumb dropping to where it does
  // not go.
  int repeat_cost(const Picking& before, const Picking& next, Wait wait) const;
  // Besides, where the tempo leaves a picking finger too little time.
  int hurry_cost(const Picking& before, const Picking& next, Wait wait) const;
  // The most that this can be for one picking finger.
  int most_repeat_cost(Wait wait) const;

 private:
  int picking_finger_cost(int picking_finger, int string, bool off_beat) const;
  void add_pinches(const Struck& struck, std::vector<Picking>& out) const;
  void add_brush(const Struck& struck, std::vector<Picking>& out) const;
  void add_frailing(const Struck& struck, std::vector<Picking>& out) const;

  Style style_;
  const CostTable& costs_;
};

}  // namespace fifthpeg::hands
