// Cells: what the picking hand plays over half a measure, or what else an arrangement is made of piece by
// piece, as players know it from roll patterns. The table is data: a row reads as a player would say it.
#pragma once

#include <array>
#include <cstdint>
#include <string_view>
#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg::arranging {

inline constexpr int most_slots = 6;

// A string that is struck in a slot, and by which picking finger.
struct Struck {
  std::int8_t string = 0;
  PickingFinger finger = PickingFinger::thumb;
  friend bool operator==(const Struck&, const Struck&) = default;
};

// Up to two strings together: a pinch.
struct CellSlot {
  std::array<Struck, 2> struck{};
  std::int8_t count = 0;  // 0: nothing is struck
};

struct Cell {
  std::string_view name;  // of the pattern that it begins, or empty
  std::array<CellSlot, most_slots> slots{};
  int count = 0;      // of slots
  int cost = 0;       // how much less usual it is than others, in units of the cost table
  bool free = false;  // leaves slots empty: for where the melody rests, and for beginners
};

// Those with so many slots: 4 for two beats in eighths, 3 for a dotted beat, 6 for a measure of 3/4. Other
// numbers take a beginning of these.
const std::vector<Cell>& cells_of(int slots);

// "3T 2I 5T 1M", "3T - 51 -": a pinch is played by thumb and middle finger. For the table and tests.
Cell parse_cell(std::string_view text, int cost, std::string_view name = {});

}  // namespace fifthpeg::arranging
