// The roll patterns that method books agree on, and whether the program's table has them. Written down from
// memory of common practice, and not from the table.
#include <algorithm>
#include <array>
#include <gtest/gtest.h>
#include <string>
#include <string_view>
#include <vector>

#include "arrange/cells.hpp"

namespace fifthpeg {
namespace {

using arranging::Cell;

struct KnownRoll {
  std::string_view name;
  std::vector<std::string_view> parts;  // strings and fingers, as many slots each as `slots`
  int slots = 4;
  bool in_every_book = true;
  std::string_view from;
};

// A measure of eight eighths in open G is two halves; 3/4 is one measure, 6/8 two dotted beats.
const std::vector<KnownRoll>& known_rolls() {
  static const std::vector<KnownRoll> rolls{
      {"forward roll",
       {"3T 2I 1M 5T", "2I 1M 5T 1M"},
       4,
       true,
       "common practice: thumb, index, middle over and over"},
      {"forward roll, index first",
       {"2I 1M 5T 2I", "1M 5T 2I 1M"},
       4,
       false,
       "common practice: the forward roll entered at the index finger, for a melody on the second string"},
      {"backward roll",
       {"1M 2I 5T 1M", "2I 5T 1M 2I"},
       4,
       true,
       "common practice: middle, index, thumb over and over"},
      {"forward-backward roll",
       {"3T 2I 1M 5T", "1M 2I 3T 1M"},
       4,
       true,
       "common practice: half a measure up, half a measure down"},
      {"alternating thumb roll",
       {"3T 2I 5T 1M", "4T 2I 5T 1M"},
       4,
       true,
       "common practice: the thumb on every other note, also called thumb in and out"},
      {"index-middle-thumb roll",
       {"2I 1M 2T 1M", "5T 2I 1M 5T"},
       4,
       false,
       "common practice: index and thumb share the second string, then a forward roll"},
      {"pinch pattern",
       {"3T - 51 -", "4T - 51 -"},
       4,
       true,
       "common practice: a bass note of the thumb, then thumb and middle together"},
      {"bass-pinch-pinch",
       {"3T - 51 - 51 -"},
       6,
       true,
       "common practice in 3/4: a bass note and two pinches"},
      {"bass-pinch-pinch from the fourth string", {"4T - 51 - 51 -"}, 6, true, "common practice in 3/4"},
      {"forward in threes over a measure of 3/4", {"3T 2I 1M 5T 2I 1M"}, 6, true, "common practice in 3/4"},
      {"forward-backward in 3/4",
       {"3T 2I 1M 5T 1M 2I"},
       6,
       false,
       "common practice in 3/4: the forward-backward roll without its last two notes"},
      {"forward in threes in 6/8", {"3T 2I 1M", "5T 2I 1M"}, 3, true, "common practice in 6/8"},
  };
  return rolls;
}

bool same_strokes(const Cell& a, const Cell& b) {
  if (a.count != b.count) return false;
  for (int i = 0; i < a.count; ++i) {
    const auto& one = a.slots.at(static_cast<std::size_t>(i));
    const auto& other = b.slots.at(static_cast<std::size_t>(i));
    if (one.count != other.count) return false;
    if (!std::is_permutation(one.struck.begin(), one.struck.begin() + one.count, other.struck.begin(),
                             other.struck.begin() + other.count)) {
      return false;
    }
  }
  return true;
}

// What is in every book costs hardly more than the most usual cell.
constexpr int cost_of_what_every_book_has = 3;

TEST(RollsKnown, EveryRollOfTheBooksIsMadeOfRowsOfTheTable) {
  for (const KnownRoll& roll : known_rolls()) {
    ASSERT_FALSE(roll.from.empty()) << roll.name;
    for (const std::string_view part : roll.parts) {
      const Cell wanted = arranging::parse_cell(part, 0);
      ASSERT_EQ(wanted.count, roll.slots) << roll.name << ": " << part;
      const auto& rows = arranging::cells_of(roll.slots);
      const auto row = std::find_if(rows.begin(), rows.end(),
                                    [&](const Cell& cell) { return same_strokes(cell, wanted); });
      if (row == rows.end()) {
        ADD_FAILURE() << roll.name << ": no row " << part;
        continue;
      }
      if (roll.in_every_book) {
        EXPECT_LE(row->cost, cost_of_what_every_book_has) << roll.name << ": " << part;
      }
    }
  }
}

// The fingers alone, which is what a player says when asked for a roll: no finger strikes twice in a row, and
// thumb, index and middle are on strings where they belong.
TEST(RollsKnown, TheBooksNeverStrikeTwiceWithOneFinger) {
  for (const KnownRoll& roll : known_rolls()) {
    std::vector<PickingFinger> fingers;
    for (const std::string_view part : roll.parts) {
      const Cell cell = arranging::parse_cell(part, 0);
      for (int i = 0; i < cell.count; ++i) {
        const auto& slot = cell.slots.at(static_cast<std::size_t>(i));
        if (slot.count != 1) {
          fingers.clear();
          continue;
        }
        const PickingFinger finger = slot.struck[0].finger;
        EXPECT_TRUE(fingers.empty() || fingers.back() != finger)
            << roll.name << ": " << part << ", slot " << i + 1;
        fingers.push_back(finger);
      }
    }
  }
}

// The table itself: thumb on any string but the first, index on 1 to 3, middle on 1 and 2, and none twice in
// a row where the slots follow at once.
TEST(RollsKnown, EveryRowOfTheTableGoesToThePickingHand) {
  for (int slots = 1; slots <= arranging::most_slots; ++slots) {
    for (const Cell& cell : arranging::cells_of(slots)) {
      const arranging::CellSlot* before = nullptr;
      for (int i = 0; i < cell.count; ++i) {
        const auto& slot = cell.slots.at(static_cast<std::size_t>(i));
        SCOPED_TRACE(std::string(cell.name) + ", " + std::to_string(slots) + " slots, row " +
                     std::to_string(&cell - arranging::cells_of(slots).data()) + ", slot " +
                     std::to_string(i + 1));
        for (int n = 0; n < slot.count; ++n) {
          const auto& one = slot.struck.at(static_cast<std::size_t>(n));
          const bool usual = one.finger == PickingFinger::thumb   ? one.string >= 2
                             : one.finger == PickingFinger::index ? one.string <= 3
                                                                  : one.string <= 2;
          EXPECT_TRUE(usual);
          for (int b = 0; before != nullptr && b < before->count; ++b)
            EXPECT_NE(before->struck.at(static_cast<std::size_t>(b)).finger, one.finger);
        }
        before = &slot;
      }
    }
  }
}

}  // namespace
}  // namespace fifthpeg
