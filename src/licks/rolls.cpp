#include "licks/rolls.hpp"

#include <algorithm>
#include <array>
#include <string_view>

#include "arrange/cells.hpp"
#include "arrange/plan.hpp"

namespace fifthpeg::licks {
namespace {

using arranging::Cell;
using arranging::CellSlot;
using arranging::Struck;

constexpr Fraction roll_slots[] = {{1, 8}, {1, 16}};

// What the picking hand does at one instant: slurred notes are the fret hand's.
struct Pick {
  Fraction at;
  CellSlot slot;
  bool fits = true;  // into a cell
};

std::vector<Pick> picks_of(const Measure& measure) {
  std::vector<Pick> picks;
  Pick pick;  // grace notes are picked in the slot of the note that they lead to
  for (const Stroke& stroke : measure.strokes) {
    pick.at = counted_before(measure) + stroke.onset;
    for (const Note& note : stroke.notes) {
      if (!note.picking_finger || note.tied_from_previous || !note.placement) continue;
      pick.fits = pick.fits && pick.slot.count < 2;
      if (!pick.fits) break;
      pick.slot.struck.at(static_cast<std::size_t>(pick.slot.count++)) = {note.placement->string,
                                                                          *note.picking_finger};
    }
    if (stroke.grace != Grace::none) continue;
    // A cell has the thumb's string first.
    if (pick.slot.count == 2 && pick.slot.struck[0].finger != PickingFinger::thumb)
      std::swap(pick.slot.struck[0], pick.slot.struck[1]);
    if (pick.slot.count > 0) picks.push_back(pick);
    pick = {};
  }
  return picks;
}

bool same_struck(const Struck& a, const Struck& b) {
  return a == b;
}

// Any long string will do: the order of fingers makes the roll.
bool alike_struck(const Struck& a, const Struck& b) {
  return a.finger == b.finger && (a.string == fifth_string) == (b.string == fifth_string);
}

bool same_finger(const Struck& a, const Struck& b) {
  return a.finger == b.finger;
}

using SlotsOfUnit = std::array<CellSlot, arranging::most_slots>;

bool is_cell(const Cell& cell, const SlotsOfUnit& slots, bool (*equal)(const Struck&, const Struck&)) {
  for (std::size_t s = 0; s < static_cast<std::size_t>(cell.count); ++s) {
    const CellSlot& a = cell.slots.at(s);
    const CellSlot& b = slots.at(s);
    if (a.count != b.count) return false;
    if (!std::equal(a.struck.begin(), a.struck.begin() + a.count, b.struck.begin(), equal)) return false;
  }
  return true;
}

// Whether each string gives way to another: what stays on one is no roll.
bool changes_strings(const SlotsOfUnit& slots, int count) {
  for (std::size_t s = 1; s < static_cast<std::size_t>(count); ++s) {
    if (slots.at(s).count == 1 && slots.at(s - 1).count == 1 &&
        slots.at(s).struck[0].string == slots.at(s - 1).struck[0].string)
      return false;
  }
  return true;
}

std::string_view name_of(const SlotsOfUnit& slots, int count) {
  const auto& cells = arranging::cells_of(count);
  const auto named = [&](auto* equal) -> std::string_view {
    for (const Cell& cell : cells) {
      if (!cell.name.empty() && is_cell(cell, slots, equal)) return cell.name;
    }
    return {};
  };
  if (const auto name = named(same_struck); !name.empty()) return name;
  if (!changes_strings(slots, count)) return {};
  if (const auto name = named(alike_struck); !name.empty()) return name;
  return named(same_finger);
}

class Rolls {
 public:
  void add(const Measure& measure) {
    const std::vector<Pick> picks = picks_of(measure);
    const auto stand_on = [&](Fraction slot) {
      return std::all_of(picks.begin(), picks.end(),
                         [&](const Pick& pick) { return (pick.at / slot).is_whole(); });
    };
    const auto* const slot = std::find_if(std::begin(roll_slots), std::end(roll_slots), stand_on);
    if (slot == std::end(roll_slots)) return;
    const auto spans = arranging::spans_of(measure.meter, *slot);
    // A roll of two halves lies in one measure, or has a measure for each.
    if (spans.size() > 1) before_ = {};
    Fraction start;
    for (const int span : spans) {
      const Fraction end = start + *slot * Fraction(span);
      std::string_view name = name_of_unit(picks, start, *slot, span);
      // What comes back, but did not go forward before, only comes back. Of six slots it is all in one.
      if (name == "forward-backward" && span < arranging::most_slots && before_ != "forward")
        name = "backward";
      // The roll that goes forward and comes back has one name, at its second half.
      if (name == "forward-backward" && before_ == "forward" && !names_.empty() && forward_is_new_)
        names_.pop_back();
      forward_is_new_ = add(name) && name == "forward";
      before_ = name;
      start = end;
    }
  }
  std::vector<std::string> take() { return std::move(names_); }

 private:
  static std::string_view name_of_unit(const std::vector<Pick>& picks, Fraction start, Fraction slot,
                                       int span) {
    if (span < 3 || span > arranging::most_slots) return {};
    SlotsOfUnit slots{};
    for (const Pick& pick : picks) {
      const std::int64_t at = ((pick.at - start) / slot).floor();
      if (at < 0 || at >= span) continue;
      if (!pick.fits) return {};
      slots.at(static_cast<std::size_t>(at)) = pick.slot;
    }
    return name_of(slots, span);
  }

  bool add(std::string_view name) {
    if (name.empty() || std::find(names_.begin(), names_.end(), name) != names_.end()) return false;
    names_.emplace_back(name);
    return true;
  }

  std::vector<std::string> names_;
  std::string_view before_;
  bool forward_is_new_ = false;
};

}  // namespace

std::vector<std::string> rolls_of(const Score& score) {
  Rolls rolls;
  for (const Measure& measure : score.measures) rolls.add(measure);
  return rolls.take();
}

}  // namespace fifthpeg::licks
