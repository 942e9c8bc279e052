// The picking hand: which picking finger strikes which string, and what it costs to go on from one stroke to
// the next.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "hands/costs.hpp"
#include "hands/request.hpp"
#include "hands/simd.hpp"

namespace fifthpeg::hands {

inline constexpr std::size_t picking_finger_count = 6;  // PickingFinger
inline constexpr std::int8_t no_picking_finger = -1;

// One way to strike the picked strings of a stroke. With no string picked, the hand has time to spare.
struct Picking {
  std::array<std::int8_t, string_count> picking_fingers{no_picking_finger, no_picking_finger,
                                                        no_picking_finger, no_picking_finger,
                                                        no_picking_finger};  // of string 1 ...
  std::uint8_t strings = 0;                                                  // picked, as bits
  std::uint8_t used = 0;                                                     // picking fingers, as bits
  std::uint8_t dropped = 0;      // strings 1 to 4 that the thumb strikes, as bits
  std::uint8_t beyond_nail = 0;  // strings that the thumb does not drop to after it: beyond the nail's
  int cost = 0;
  friend bool operator==(const Picking&, const Picking&) = default;
};

// What is asked of the picking hand: strings, and for each the picking finger that is fixed, or
// no_picking_finger.
struct Struck {
  std::uint8_t strings = 0;
  std::array<std::int8_t, string_count> fixed{no_picking_finger, no_picking_finger, no_picking_finger,
                                              no_picking_finger, no_picking_finger};
  bool brush = false;
  bool off_beat = false;
};

// How many bits a set of strings or picking fingers has. (std::popcount is slow without the instruction for
// it.)
constexpr int bits_in(unsigned set) {
  constexpr std::uint64_t of_four_bits = 0x4332322132212110;
  return set == 0 ? 0
                  : static_cast<int>((of_four_bits >> (4 * (set & 15U)) & 15U) +
                                     (of_four_bits >> (4 * (set >> 4U)) & 15U));
}

// What one picking after another costs, at one distance in time: using a picking finger or a string twice in
// a row, and dropping the thumb to where it does not go.
struct Repeats {
  int picking_finger = 0;
  int string = 0;
  int beyond_nail = 0;
  int cost(const Picking& before, const Picking& next) const {
    return bits_in(static_cast<unsigned>(before.used & next.used)) * picking_finger +
           bits_in(static_cast<unsigned>(before.strings & next.strings)) * string +
           ((before.beyond_nail & next.dropped) != 0 ? beyond_nail : 0);
  }
  // At most what may follow `before` costs more than what follows another picking of the same strings.
  int at_most_dearer(const Picking& before) const {
    return bits_in(before.used) * picking_finger + (before.beyond_nail != 0 ? beyond_nail : 0);
  }
};

// Fills in Picking::dropped and Picking::beyond_nail from the picking fingers.
void note_drops(Picking& picking);

// The pickings of a stroke side by side (simd.hpp): many are weighed at once.
struct PickingColumns {
  std::vector<Cost16> used;
  std::vector<Cost16> strings;
  std::vector<Cost16> dropped;
  std::vector<Cost16> cost;

  PickingColumns() = default;
  explicit PickingColumns(const std::vector<Picking>& pickings);
  std::size_t width() const { return used.size(); }

  // What each costs after `before`, with what it costs by itself.
  void cost_after(const Picking& before, const Repeats& repeats, Cost16* costs) const;
};

class PickingHand {
 public:
  PickingHand(Style style, const CostTable& costs) : style_(style), costs_(costs) {}

  // All ways, in a fixed order: picking fingers stand along the strings, the thumb on the lowest-lying; one
  // string a picking finger unless it is a brush. Empty where fixed picking fingers do not go together.
  std::vector<Picking> pickings(const Struck& struck) const;

  Repeats repeats(float seconds) const {
    return {costs_.same_picking_finger.at(seconds), costs_.same_string.at(seconds), costs_.thumb_beyond_nail};
  }
  // What one stroke after another costs, `seconds` later.
  int repeat_cost(const Picking& before, const Picking& next, float seconds) const {
    return repeats(seconds).cost(before, next);
  }

 private:
  int picking_finger_cost(int picking_finger, int string, bool off_beat) const;
  void add_pinches(const Struck& struck, std::vector<Picking>& out) const;
  void add_brush(const Struck& struck, std::vector<Picking>& out) const;
  void add_frailing(const Struck& struck, std::vector<Picking>& out) const;

  Style style_;
  const CostTable& costs_;
};

}  // namespace fifthpeg::hands
