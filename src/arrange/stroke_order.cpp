#include "arrange/stroke_order.hpp"

#include <algorithm>
#include <bit>
#include <cstdlib>

#include "arrange/weights.hpp"

namespace fifthpeg::arranging {
namespace {

constexpr int thumb = static_cast<int>(PickingFinger::thumb);
constexpr int index_finger = static_cast<int>(PickingFinger::index);

}  // namespace

int crossing(int finger, int string, int next_finger, int next_string) {
  if (finger < 0 || next_finger < 0 || finger == next_finger) return 0;
  if (string == fifth_string || next_string == fifth_string || string == next_string) return 0;
  // The thumb leads with the melody on the second string: alternating thumb, as books have it.
  if (finger == thumb && string == 2 && next_finger == index_finger && next_string == 3) return 0;
  return (finger < next_finger) == (string < next_string) ? crossed : 0;
}

int cost_of_two(const SlotPlay& before, const SlotPlay& next, int level) {
  int cost = 0;
  for (std::size_t a = 0; a < static_cast<std::size_t>(before.count); ++a) {
    for (std::size_t b = 0; b < static_cast<std::size_t>(next.count); ++b) {
      const Played& one = before.notes.at(a);
      const Played& other = next.notes.at(b);
      cost += crossing(one.finger, one.string, other.finger, other.string);
      if (one.fret == 0 || other.fret == 0 || other.finger == Played::slurred) continue;
      const int beyond =
          std::abs(one.fret - other.fret) - longest_step.at(static_cast<std::size_t>(level - 1));
      if (beyond > 0) cost += wide_step;
    }
  }
  return cost;
}

int cost_of_four(const std::array<const SlotPlay*, 4>& slots) {
  unsigned strings = 0;
  bool has_thumb = false;
  for (const SlotPlay* slot : slots) {
    if (slot->count != 1) return 0;
    strings |= 1U << static_cast<unsigned>(slot->notes[0].string);
    has_thumb = has_thumb || slot->notes[0].finger == thumb;
  }
  const int different = std::popcount(strings);
  return (different == 1 ? one_string : different == 2 ? two_strings : 0) + (has_thumb ? 0 : no_thumb);
}

}  // namespace fifthpeg::arranging
