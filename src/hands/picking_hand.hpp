// The picking hand: which digit strikes which string, and what it costs to go on from one stroke to the next.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "hands/costs.hpp"
#include "hands/wanted.hpp"

namespace fifthpeg::hands {

inline constexpr std::size_t digit_count = 6;  // PickingDigit
inline constexpr std::int8_t no_digit = -1;

// One way to strike the picked strings of a stroke. With no string picked, the hand has time to spare.
struct Picking {
  std::array<std::int8_t, string_count> digits{no_digit, no_digit, no_digit, no_digit,
                                               no_digit};  // of string 1 ...
  std::uint8_t strings = 0;                                // picked, as bits
  std::uint8_t used = 0;                                   // digits, as bits
  int cost = 0;
  friend bool operator==(const Picking&, const Picking&) = default;
};

// What is asked of the picking hand: strings, and for each the digit that is fixed, or no_digit.
struct Struck {
  std::uint8_t strings = 0;
  std::array<std::int8_t, string_count> fixed{no_digit, no_digit, no_digit, no_digit, no_digit};
  bool brush = false;
  bool off_beat = false;
};

class PickingHand {
 public:
  PickingHand(Style style, const CostTable& costs) : style_(style), costs_(costs) {}

  // All ways, in a fixed order: digits stand along the strings, the thumb on the lowest-lying; one string a
  // digit unless it is a brush. Empty where fixed digits do not go together.
  std::vector<Picking> ways(const Struck& struck) const;

  // What one stroke after another costs, `seconds` later: digits and strings used twice in a row.
  int repeat_cost(const Picking& before, const Picking& next, float seconds) const;

 private:
  int digit_cost(int digit, int string, bool off_beat) const;
  void add_pinches(const Struck& struck, std::vector<Picking>& out) const;
  void add_brush(const Struck& struck, std::vector<Picking>& out) const;
  void add_frailing(const Struck& struck, std::vector<Picking>& out) const;

  Style style_;
  const CostTable& costs_;
};

}  // namespace fifthpeg::hands
