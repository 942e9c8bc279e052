// When one state of the fret hand dominates another: bounds on how much dearer a way on from it can
// be. They are sums over everything that FretHand::move() may charge from one state and not from the other;
// property tests hold the search with them to the search without.
#include <algorithm>
#include <bit>

#include "hands/fret_hand.hpp"

namespace fifthpeg::hands {

// At most what a finger that is down here and not there may cost later on: its ringing cut short, or its
// place taken over by another finger. A bar may be renewed by one of its strings, even by a note that is to
// ring on, and then has a place to leap from.
int FretHand::left_down_at_most(const Held& held) const {
  if (!is_bar(held)) return std::max(cut_cost(held), costs_.swap);
  return std::max(
             {costs_.cut_at_once, costs_.cut_later, costs_.cut_shape, costs_.cut_let_ring, costs_.swap}) +
         costs_.leap;
}

// String after string, a bar may be there already where a finger without it leaps.
int FretHand::bar_spares_at_most(const Held& held) const {
  if (!is_bar(held)) return 0;
  return std::popcount(held.strings) *
         (costs_.leap + std::max({costs_.cut_at_once, costs_.cut_later, costs_.cut_shape}));
}

int FretHand::older_dearer(const HandState& after, const Grip& grip) const {
  int more = 0;
  for_each_finger(after.down(), [&](std::size_t f) {
    if (after.held[f].strings != grip.use[f].strings) more += left_down_at_most(after.held[f]);
  });
  return more;
}

int FretHand::older_bars_spare_any(const HandState& after, const Grip& grip) const {
  int spared = 0;
  for_each_finger(after.down(), [&](std::size_t f) {
    if (after.held[f].strings != grip.use[f].strings) spared += bar_spares_at_most(after.held[f]);
  });
  return spared;
}

int FretHand::bars_spare_any(const HandState& before) const {
  int spared = 0;
  for_each_finger(before.down(), [&](std::size_t f) { spared += bar_spares_at_most(before.held[f]); });
  return spared;
}

}  // namespace fifthpeg::hands
