#include "hands/picking_hand.hpp"

#include <algorithm>
#include <bit>

namespace fifthpeg::hands {
namespace {

constexpr int thumb = static_cast<int>(PickingFinger::thumb);
constexpr int index = static_cast<int>(PickingFinger::index);
constexpr int middle = static_cast<int>(PickingFinger::middle);
constexpr int nail = static_cast<int>(PickingFinger::nail);

constexpr std::size_t slot(int string) {
  return static_cast<std::size_t>(string - 1);
}

void strike(Picking& picking, int string, int picking_finger, int cost) {
  picking.picking_fingers[slot(string)] = static_cast<std::int8_t>(picking_finger);
  picking.strings |= string_bit(string);
  picking.used |= static_cast<std::uint8_t>(1U << picking_finger);
  picking.cost += cost;
}

bool any_fixed_beyond_middle(const Struck& struck) {
  for (const std::int8_t picking_finger : struck.fixed) {
    if (picking_finger > middle) return true;
  }
  return false;
}

bool allows(const Struck& struck, int string, int picking_finger) {
  const std::int8_t fixed = struck.fixed[slot(string)];
  return fixed == no_picking_finger || fixed == picking_finger;
}

}  // namespace

void note_drops(Picking& picking) {
  picking.dropped = 0;
  picking.beyond_nail = 0;
  for (int string = 1; string < string_count; ++string) {
    if (picking.picking_fingers[slot(string)] == thumb) picking.dropped |= string_bit(string);
  }
  for (int string = string_count; string >= 1; --string) {
    if (picking.picking_fingers[slot(string)] == nail) {
      picking.beyond_nail = static_cast<std::uint8_t>(string_bit(string) - 1U);
    }
  }
}

int PickingHand::picking_finger_cost(int picking_finger, int string, bool off_beat) const {
  switch (static_cast<PickingFinger>(picking_finger)) {
    case PickingFinger::thumb:
      return costs_.thumb_on[slot(string)] + (off_beat ? 0 : costs_.thumb_on_beat);
    case PickingFinger::index:
      return costs_.index_on[slot(string)] + (off_beat ? 0 : costs_.index_on_beat);
    case PickingFinger::middle:
      return costs_.middle_on[slot(string)];
    case PickingFinger::nail:
      return costs_.nail_on[slot(string)] + (off_beat ? costs_.nail_off_beat : 0);
    default:
      return costs_.other_picking_finger;
  }
}

int PickingHand::repeat_cost(const Picking& before, const Picking& next, Wait wait) const {
  const unsigned again = before.used & next.used;
  int cost = (before.beyond_nail & next.dropped) != 0 ? costs_.thumb_beyond_nail : 0;
  if (again == 0) return cost;
  const unsigned thumbed = again & (1U << thumb);
  const int fingers = bits_in(again & ~thumbed);
  int same = fingers * costs_.same_picking_finger.at(wait.wholes);
  if (thumbed != 0) same += costs_.same_thumb.at(wait.wholes);
  // On one string it is half the trouble.
  return cost + ((before.strings & next.strings) != 0 ? same / 2 : same);
}

int PickingHand::hurry_cost(const Picking& before, const Picking& next, Wait wait) const {
  const int each = (wait.seconds < costs_.hurried_picking_finger_under ? costs_.hurried_picking_finger : 0) +
                   (wait.seconds < costs_.picking_finger_takes ? forbidden : 0);
  return bits_in(before.used & next.used) * each;
}

int PickingHand::most_repeat_cost(Wait wait) const {
  return costs_.same_picking_finger.at(wait.wholes) + costs_.thumb_beyond_nail;
}

std::vector<Picking> PickingHand::pickings(const Struck& struck) const {
  std::vector<Picking> result;
  const int strings = std::popcount(struck.strings);
  if (strings == 0) {
    result.emplace_back();
  } else if (style_ == Style::clawhammer && !any_fixed_beyond_middle(struck)) {
    add_frailing(struck, result);
  } else if (struck.brush && strings > 1) {
    add_brush(struck, result);
  } else {
    if (strings <= 3 || any_fixed_beyond_middle(struck)) add_pinches(struck, result);
    if (strings > 3) add_brush(struck, result);
  }
  if (result.empty() && style_ == Style::clawhammer) {
    if (struck.brush && strings > 1) {
      add_brush(struck, result);
    } else {
      add_pinches(struck, result);
    }
  }
  for (Picking& picking : result) note_drops(picking);
  return result;
}

// Digits rise along the strings from the fifth to the first.
void PickingHand::add_pinches(const Struck& struck, std::vector<Picking>& out) const {
  const int last = any_fixed_beyond_middle(struck) ? nail : middle;
  const int strings = std::popcount(struck.strings);
  const auto extend = [&](const auto& self, int string, int first_picking_finger,
                          const Picking& so_far) -> void {
    while (string > 0 && (struck.strings & string_bit(string)) == 0) --string;
    if (string == 0) {
      out.push_back(so_far);
      int& cost = out.back().cost;
      if (strings > 1 && (so_far.used & (1U << middle)) == 0) cost += costs_.pinch_without_middle;
      const bool thumbed = (so_far.used & (1U << thumb)) != 0;
      const bool side_by_side = (struck.strings & (struck.strings << 1U) & 0x0FU) != 0;
      if (strings == 2 && side_by_side && thumbed) cost += costs_.thumb_beside;
      if (strings == 2 && !side_by_side && !thumbed) cost += costs_.pinch_without_thumb;
      return;
    }
    for (int picking_finger = first_picking_finger; picking_finger <= last; ++picking_finger) {
      if (!allows(struck, string, picking_finger)) continue;
      Picking more = so_far;
      // In a pinch index and middle stand wherever the thumb leaves off.
      const bool pinches =
          strings > 1 && (picking_finger == index || picking_finger == middle) && string < fifth_string;
      strike(more, string, picking_finger,
             pinches ? 0 : picking_finger_cost(picking_finger, string, struck.off_beat));
      self(self, string - 1, picking_finger + 1, more);
    }
  };
  extend(extend, string_count, thumb, {});
}

// One picking finger draws across all strings between the outermost ones.
void PickingHand::add_brush(const Struck& struck, std::vector<Picking>& out) const {
  const int lowest = std::countr_zero(struck.strings);
  const int width = std::bit_width(struck.strings) - lowest;
  const int skipped = width - std::popcount(struck.strings);
  for (int picking_finger = thumb; picking_finger <= nail; ++picking_finger) {
    Picking picking;
    picking.cost = skipped * costs_.skipped_in_brush;
    bool possible = true;
    bool fixed = false;
    for (int string = string_count; string >= 1; --string) {
      if ((struck.strings & string_bit(string)) == 0) continue;
      possible = possible && allows(struck, string, picking_finger);
      fixed = fixed || struck.fixed[slot(string)] != no_picking_finger;
      strike(picking, string, picking_finger, 0);
    }
    // The thumb brushes; another picking finger only where it is asked for.
    if (possible && (picking_finger == thumb || fixed)) out.push_back(picking);
  }
  if (!out.empty()) return;
  // Fixed picking fingers that differ: the strings are drawn one after the other with those.
  Picking picking;
  for (int string = string_count; string >= 1; --string) {
    if ((struck.strings & string_bit(string)) == 0) continue;
    const std::int8_t fixed = struck.fixed[slot(string)];
    strike(picking, string, fixed == no_picking_finger ? thumb : fixed, costs_.other_picking_finger);
  }
  out.push_back(picking);
}

// The nail takes what the thumb does not; together they are rare.
void PickingHand::add_frailing(const Struck& struck, std::vector<Picking>& out) const {
  const int strings = std::popcount(struck.strings);
  for (int thumbed = 0; thumbed <= string_count; ++thumbed) {  // the string of the thumb; 0 for none
    if (thumbed > 0 && ((struck.strings & string_bit(thumbed)) == 0 || !allows(struck, thumbed, thumb)))
      continue;
    Picking picking;
    if (thumbed > 0) {
      strike(picking, thumbed, thumb, picking_finger_cost(thumb, thumbed, struck.off_beat));
      if (strings > 1) picking.cost += costs_.thumb_with_nail;
    }
    const unsigned rest = struck.strings & ~(thumbed > 0 ? string_bit(thumbed) : 0U);
    bool possible = true;
    int nail_cost = 0;
    for (int string = string_count; string >= 1; --string) {
      if ((rest & string_bit(string)) == 0) continue;
      possible = possible && allows(struck, string, nail) && (thumbed == 0 || string < thumbed);
      const int cost = picking_finger_cost(nail, string, struck.off_beat);
      nail_cost = cost > nail_cost ? cost : nail_cost;
      strike(picking, string, nail, 0);
    }
    if (rest != 0) {
      const int spanned = static_cast<int>(std::bit_width(rest)) - std::countr_zero(rest);
      picking.cost += nail_cost + (spanned - std::popcount(rest)) * costs_.skipped_in_brush;
    }
    if (possible) out.push_back(picking);
  }
}

}  // namespace fifthpeg::hands
