#include "arrange/cells.hpp"

#include <algorithm>

namespace fifthpeg::arranging {
namespace {

struct Row {
  std::string_view cell;
  int cost;
  std::string_view name = {};
};

// The patterns are common practice of three-finger players, their names too; from memory. What is usual costs
// nothing, what is heard now and then 3, what is a way out 8.
constexpr Row in_four[] = {
    {"3T 2I 5T 1M", 0, "alternating thumb"},
    {"4T 2I 5T 1M", 0, "alternating thumb"},
    {"3T 2I 1M 5T", 0, "forward"},
    {"2T 1M 5T 1M", 0},
    {"3T 1M 5T 1M", 0},
    {"4T 1M 5T 1M", 0},
    {"2I 1M 5T 1M", 0, "forward"},
    {"2I 1M 5T 2I", 0, "forward"},
    {"4T 2I 1M 5T", 0, "forward"},
    {"1M 2I 5T 1M", 3, "backward"},
    {"1M 2I 3T 1M", 3, "forward-backward"},
    {"2I 5T 1M 2I", 3, "backward"},
    {"1M 5T 2I 1M", 3, "forward"},
    {"5T 2I 1M 5T", 3, "index-middle-thumb"},
    {"5T 1M 2I 3T", 3, "backward"},
    {"2I 1M 2T 1M", 3, "index-middle-thumb"},
    {"2I 5T 2I 1M", 3},
    {"1M 2I 4T 1M", 5},
    {"2I 1M 4T 1M", 5},
    {"4T 3I 5T 1M", 3, "alternating thumb"},
    {"2T 3I 5T 1M", 3, "alternating thumb"},
    {"1M 2I 1M 5T", 3},
    {"3T - 51 -", 3, "pinch"},
    {"4T - 51 -", 3, "pinch"},
    {"3T 2I 3T 1M", 8},
    {"1M 3I 5T 1M", 8},
    {"2M 3I 5T 1M", 8},
    {"2I 3T 2I 1M", 8},
    {"3T 2I 1M 2I", 8},
    {"1M 2I 3T 2I", 8},
    {"4T 3I 2T 1M", 8},
    {"2I 4T 2I 1M", 8},
    {"3T 3I 5T 1M", 8},
    {"2T 2I 5T 1M", 8},
    {"1M 1I 5T 1M", 8},
    {"3T - 2I 1M", 10},
    {"2I - 5T 1M", 10},
    {"1M - 5T 1M", 10},
    {"3T - 5T 1M", 10},
    {"4T - 5T 1M", 10},
};
constexpr Row in_three[] = {
    {"3T 2I 1M", 0, "forward"},
    {"4T 2I 1M", 0, "forward"},
    {"2I 1M 5T", 0, "forward"},
    {"3T 1M 5T", 0},
    {"2T 1M 5T", 0},
    {"4T 1M 5T", 0},
    {"1M 2I 5T", 3, "backward"},
    {"1M 5T 2I", 3, "forward"},
    {"2I 5T 1M", 3, "backward"},
    {"5T 2I 1M", 3, "forward"},
    {"1M 2I 3T", 3, "backward"},
    {"3T 2I 5T", 3, "alternating thumb"},
    {"1M 5T 1M", 3},
    {"2I 5T 2I", 3},
    {"1M 2I 4T", 5},
    {"2I 1M 4T", 5},
    {"2I 3T 1M", 8},
    {"2I 3T 2I", 8},
    {"3T 2I 3T", 8},
    {"2I 1M 2I", 8},
    {"4T 3I 2M", 8},
    {"3I 5T 1M", 8},
    {"3I 4T 1M", 8},
    {"3T - 1M", 14},
    {"4T - 1M", 14},
    {"2I - 5T", 14},
    {"1M - 5T", 14},
};
constexpr Row in_six[] = {
    {"3T 2I 5T 1M 2I 1M", 0},
    {"3T 2I 1M 5T 2I 1M", 0, "forward"},
    {"4T 2I 1M 5T 2I 1M", 0, "forward"},
    {"2I 1M 5T 2I 1M 5T", 0, "forward"},
    {"1M 2I 5T 1M 2I 5T", 0, "backward"},
    {"3T 2I 1M 5T 1M 2I", 0, "forward-backward"},
    {"1M 5T 2I 1M 5T 1M", 0},
    {"2I 5T 1M 2I 5T 1M", 0, "backward"},
    {"3T 2I 5T 1M 5T 1M", 0},
    {"4T 2I 5T 1M 5T 1M", 0},
    {"2I 1M 5T 1M 5T 1M", 0},
    {"3T 2I 1M 2I 3T 1M", 3},
    {"2I 5T 1M 2I 3T 1M", 3},
    {"1M 2I 5T 1M 3T 1M", 3},
    {"3T 2I 3T 1M 5T 1M", 5},
    {"2T 1M 3T 1M 5T 1M", 5},
    {"1M 5T 1M 5T 1M 5T", 5},
    {"2I 5T 2I 5T 2I 5T", 5},
    {"3T - 51 - 51 -", 3, "bass and pinches"},
    {"4T - 51 - 51 -", 3, "bass and pinches"},
    {"2I - 51 - 51 -", 10, "bass and pinches"},
    {"1M - 5T 2I 5T 1M", 10},
    {"2I - 5T 1M 2I 1M", 10},
    {"3T - 2I 1M 5T 1M", 10},
};

std::vector<Cell> cells_from(const Row* first, const Row* last, int slots) {
  std::vector<Cell> cells;
  cells.reserve(static_cast<std::size_t>(last - first));
  for (; first != last; ++first) {
    Cell cell = parse_cell(first->cell, first->cost, first->name);
    cell.count = slots;
    const auto same = [&](const Cell& other) {
      for (std::size_t i = 0; i < static_cast<std::size_t>(slots); ++i) {
        if (other.slots[i].struck != cell.slots[i].struck || other.slots[i].count != cell.slots[i].count)
          return false;
      }
      return true;
    };
    if (std::none_of(cells.begin(), cells.end(), same)) cells.push_back(cell);
  }
  return cells;
}

PickingFinger finger_of(char letter) {
  switch (letter) {
    case 'I':
      return PickingFinger::index;
    case 'M':
      return PickingFinger::middle;
    default:
      return PickingFinger::thumb;
  }
}

}  // namespace

Cell parse_cell(std::string_view text, int cost, std::string_view name) {
  Cell cell;
  cell.cost = cost;
  cell.name = name;
  while (!text.empty()) {
    const std::string_view word = text.substr(0, text.find(' '));
    text.remove_prefix(std::min(text.size(), word.size() + 1));
    CellSlot& slot = cell.slots.at(static_cast<std::size_t>(cell.count++));
    if (word == "-") {
      cell.free = true;
      continue;
    }
    const auto string_at = [&](std::size_t i) { return static_cast<std::int8_t>(word[i] - '0'); };
    if (word.size() == 2 && word[1] >= '1' && word[1] <= '5') {
      slot.struck = {Struck{string_at(0), PickingFinger::thumb}, Struck{string_at(1), PickingFinger::middle}};
      slot.count = 2;
    } else {
      slot.struck[0] = {string_at(0), finger_of(word[1])};
      slot.count = 1;
    }
  }
  return cell;
}

const std::vector<Cell>& cells_of(int slots) {
  static const std::array<std::vector<Cell>, most_slots + 1> by_slots = [] {
    std::array<std::vector<Cell>, most_slots + 1> made;
    for (int n = 1; n <= most_slots; ++n) {
      auto& cells = made.at(static_cast<std::size_t>(n));
      if (n == 3) {
        cells = cells_from(std::begin(in_three), std::end(in_three), n);
      } else if (n <= 4) {
        cells = cells_from(std::begin(in_four), std::end(in_four), n);
      } else {
        cells = cells_from(std::begin(in_six), std::end(in_six), n);
      }
    }
    return made;
  }();
  return by_slots.at(static_cast<std::size_t>(slots));
}

}  // namespace fifthpeg::arranging
