// When one state of the fret hand makes another superfluous: bounds on how much dearer any way on from it can
// be. They are sums over everything that FretHand::move() may charge from one state and not from the other;
// property tests hold the search with them to the search without.
#include <algorithm>
#include <bit>
#include <cstdlib>

#include "hands/fret_hand.hpp"

namespace fifthpeg::hands {

// At most what a finger that is down here and not there may cost later on. A bar may be renewed by one of
// its strings, even by a note that is to ring on.
int FretHand::left_down_at_most(const Held& held) const {
  if (!is_bar(held)) return cut_cost(held);
  return std::max({costs_.cut_at_once, costs_.cut_later, costs_.cut_let_ring}) + costs_.leap;
}

int FretHand::older_at_most_dearer(const HandState& after, const Grip& grip) const {
  int more = 0;
  for (std::size_t f = 0; f < finger_count; ++f) {
    const Held& held = after.held[f];
    if (held.strings != 0 && held.strings != grip.use[f].strings) more += left_down_at_most(held);
  }
  return more;
}

// What a shift may cost more from `a`, or cost at all where `b` need not shift.
int FretHand::shift_at_most(const HandState& a, const HandState& b, const Ahead& ahead) const {
  if (a.position == 0) return 0;
  // With less time than from `b`, there may be as much more hurry as there is at all.
  const bool less_time = a.free_for < b.free_for;
  if (a.position == b.position) return less_time ? most_hurry_steps * costs_.hurry_20_ms : 0;
  // A hand that is nowhere yet shifts for nothing.
  const int frets = b.position == 0 ? static_cast<int>(frets_known) : std::abs(a.position - b.position);
  int hurry = most_hurry_steps;
  if (!less_time && b.position != 0) {
    float available = a.free_for == 0 ? ahead.seconds / 3.0F : ahead.seconds;
    // While an open string rings the shift may wait for the stroke after; that time is rounded down.
    if (ahead.may_be_open) {
      available = std::min(available, ahead.seconds_after - HandState::free_step_seconds);
    }
    // Where both shift, a fret more to go takes less than a step more.
    hurry = std::min(most_hurry_steps, std::max(hurry_steps(frets, available), frets + 1));
  }
  return costs_.shift + frets * costs_.shift_fret + hurry * costs_.hurry_20_ms;
}

bool FretHand::is_no_dearer(const HandState& a, const HandState& b, const Ahead& ahead, int lead) const {
  const bool elsewhere = a.position != b.position;
  if (elsewhere && a.position != 0 && lead < costs_.shift_block) return false;
  bool differ = elsewhere;
  bool bars = false;
  int more = 0;
  int fresh = 0;
  for (std::size_t f = 0; f < finger_count; ++f) {
    const Held& held = a.held[f];
    fresh += is_fresh(b.held[f]) ? 1 : 0;
    const bool this_differs = !(held == b.held[f]);
    differ = differ || this_differs;
    bars = bars || is_bar(held) || is_bar(b.held[f]);
    if (held.strings == 0) continue;
    if (this_differs && !is_bar(held)) more += left_down_at_most(held);
    if ((this_differs || elsewhere) && is_fresh(held)) more += std::max(costs_.leap, costs_.swap);
  }
  if (more > lead) return false;
  more += shift_at_most(a, b, ahead);
  // From `b` a shape may go along as a block that is none from `a`.
  if (differ && fresh > 1) more += costs_.shift - costs_.shift_block;
  for (std::size_t f = 0; f < finger_count && differ && bars; ++f) {
    if (is_bar(a.held[f])) more += left_down_at_most(a.held[f]);
    // String after string, a bar of `b` may be there already where from `a` the finger leaps.
    const Held& bar = b.held[f];
    if (is_bar(bar)) {
      more += std::popcount(bar.strings) * (costs_.leap + std::max(costs_.cut_at_once, costs_.cut_later));
    }
  }
  return more <= lead;
}

}  // namespace fifthpeg::hands
