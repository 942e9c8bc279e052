#include "hands/fret_hand.hpp"

#include <algorithm>
#include <bit>
#include <cstdlib>

namespace fifthpeg::hands {
namespace {

// The finger and fret that a string sounds with, of those held: the highest. Finger -1: the open string.
struct Stopped {
  int finger = -1;
  int fret = 0;
};

Stopped stopped_at(const HandState& state, std::uint8_t string) {
  Stopped result;
  for (std::size_t f = 0; f < finger_count; ++f) {
    const Held& held = state.held[f];
    if ((held.strings & string) != 0 && held.fret > result.fret) result = {static_cast<int>(f), held.fret};
  }
  return result;
}

int half_steps_above_open(const Banjo& banjo, int string, int fret) {
  return fret == 0 || string != fifth_string ? fret : fret + banjo.capo - banjo.fifth_capo;
}

Held a_stroke_later(const Held& held) {
  Held later = held;
  --later.left;
  if (later.left == HandState::remembered) --later.left;
  return later;
}

}  // namespace

FretHand::FretHand(const Neck& neck, const CostTable& costs) : neck_(neck), costs_(costs) {
  for (std::size_t low = 0; low < 4; ++low) {
    for (std::size_t high = low + 1; high < 4; ++high) {
      const double limit = neck.limits(static_cast<int>(low) + 1, static_cast<int>(high) + 1).comfortable;
      int reached = 0;
      for (int fret = 0; fret < static_cast<int>(frets_known); ++fret) {
        reached = std::max(reached, fret);
        while (reached + 1 < static_cast<int>(frets_known) && neck.span_mm(fret, reached + 1) <= limit)
          ++reached;
        comfortable_to_[low][high][static_cast<std::size_t>(fret)] = static_cast<std::uint8_t>(reached);
      }
    }
  }
}

bool FretHand::comfortable(std::size_t lower, std::size_t higher, int low_fret, int high_fret) const {
  const auto fret = static_cast<std::size_t>(std::min<int>(low_fret, frets_known - 1));
  return low_fret <= high_fret && high_fret <= comfortable_to_[lower][higher][fret];
}

// Whether a finger that the grip does not use can stay down under it.
bool FretHand::stands_with(std::size_t finger, const Held& held, const Grip& grip) const {
  bool stands = true;
  for_each_finger(grip.fingers_used, [&](std::size_t f) {
    const FingerUse& use = grip.use[f];
    if ((use.covered & held.strings) != 0 && use.fret == held.fret) stands = false;
    if ((use.strings & held.strings) != 0 && use.fret < held.fret) stands = false;
    if (f != thumb_index && finger != thumb_index && use.fret == held.fret &&
        (f > finger) != (use.strings < held.strings)) {
      stands = false;  // at one fret fingers stand in the order of the strings, the first string's highest
    }
    if (f == thumb_index || finger == thumb_index) {
      const auto [low, high] = std::minmax(use.fret, held.fret);
      if (neck_.span_mm(low, high) > neck_.thumb_limit()) stands = false;
    } else if (f > finger ? !comfortable(finger, f, held.fret, use.fret)
                          : !comfortable(f, finger, use.fret, held.fret)) {
      stands = false;
    }
  });
  return stands;
}

// Where another finger takes over the very place of one that has played there and is still down.
int FretHand::swap_cost(const Held& held, const Grip& grip) const {
  if ((held.strings & ~grip.sounding) != 0) return 0;
  const bool swapped = std::any_of(grip.use.begin(), grip.use.end(), [&](const FingerUse& use) {
    return (use.strings & held.strings) != 0 && use.fret == held.fret;
  });
  return swapped ? costs_.swap : 0;
}

// Whether the index finger can lie down from the string it stops to the one that the grip asks it for.
bool FretHand::can_lie_down(const Held& held, const Grip& grip) {
  const unsigned covered = across(static_cast<unsigned>(held.strings | grip.use[0].strings));
  return (covered & grip.open) == 0;
}

int FretHand::cut_cost(const Held& held) const {
  switch (held.ringing) {
    case RequestedNote::let_ring:
      return costs_.cut_let_ring;
    case RequestedNote::natural:
      return is_fresh(held) ? costs_.cut_at_once : costs_.cut_later;
    case Held::in_shape:
      return is_fresh(held) ? costs_.cut_at_once : costs_.cut_shape;
    default:
      return 0;
  }
}

// Whether it makes a difference that a finger has stayed down: a bar is there for all its strings, but one
// string's finger may as well be put down anew.
bool FretHand::matters(const Held& older) const {
  return is_bar(older) || cut_cost(older) > 0;
}

int FretHand::shift_cost(int frets, std::uint8_t free_for, bool as_block, float seconds) const {
  const float available = free_for == 0
                              ? seconds / 3.0F
                              : seconds + static_cast<float>(free_for - 1) * HandState::free_step_seconds;
  return (as_block ? costs_.shift_block : costs_.shift) + frets * costs_.shift_fret +
         hurry_steps(frets, available) * costs_.hurry_20_ms;
}

bool FretHand::may_go_as_block(const HandState& before) {
  if ((before.down() & (before.down() - 1U)) == 0) return false;
  return std::count_if(before.held.begin(), before.held.end(), is_fresh) > 1;
}

int FretHand::technique_cost(const HandState& before, const Grip& grip) const {
  int cost = 0;
  for (int n = 0; n < grip.count; ++n) {
    const auto i = static_cast<std::size_t>(n);
    const Technique technique = grip.techniques[i];
    if (technique == Technique::none) continue;
    const std::uint8_t string = string_bit(grip.notes[i].string);
    if ((before.sounding & string) == 0) return HandMove::impossible;
    const Stopped from = stopped_at(before, string);
    const int fret = fret_of(grip.notes[i]);
    const int finger = static_cast<int>(grip.fingers[i]) - 1;
    const int half_steps = std::abs(half_steps_above_open(neck_.banjo(), grip.notes[i].string, fret) -
                                    half_steps_above_open(neck_.banjo(), grip.notes[i].string, from.fret));
    const int longest = technique == Technique::slide ? costs_.longest_slide : costs_.longest_hammer;
    if (half_steps > longest) return HandMove::impossible;
    const bool hand_stays = grip.position == 0 || grip.position == before.position;
    bool goes = false;
    switch (technique) {
      case Technique::hammer_on:
        // Lands with a higher finger; from an open string the hand may come from anywhere.
        goes = fret > from.fret && finger > from.finger && (from.fret == 0 || hand_stays);
        break;
      case Technique::pull_off:
        // A lower finger is already there, or the string is left open.
        goes = fret < from.fret && (fret == 0 || (finger < from.finger && hand_stays));
        break;
      case Technique::slide:
        goes = from.fret > 0 && fret != from.fret && finger == from.finger;
        cost += std::abs(fret - from.fret) * costs_.slide_fret;
        break;
      default:
        break;
    }
    if (!goes) return HandMove::impossible;
  }
  return cost;
}

int FretHand::tie_cost(const HandState& before, const Grip& grip) const {
  int cost = 0;
  for (int n = 0; n < grip.count; ++n) {
    const auto i = static_cast<std::size_t>(n);
    const std::uint8_t string = string_bit(grip.notes[i].string);
    if ((grip.picked & string) != 0 || grip.techniques[i] != Technique::none) continue;
    const Stopped from = stopped_at(before, string);
    if ((before.sounding & string) == 0 || from.fret != grip.notes[i].fret) {
      cost += costs_.broken_tie;
    } else if (from.fret > 0 && from.finger != static_cast<int>(grip.fingers[i]) - 1) {
      cost += costs_.substitute;
    }
  }
  return cost;
}

HandMove FretHand::move(const HandState& before, const Grip& grip, float seconds, HandState& after) const {
  HandMove cost;
  after = {};
  after.sounding = grip.sounding;
  if (grip.slurred) {
    cost.technique = technique_cost(before, grip);
    if (cost.technique >= HandMove::impossible) return cost;
  }
  if (grip.tied) cost.fingers += tie_cost(before, grip);

  int frets = 0;  // that the hand moves by
  if (grip.position == 0) {
    after.position = before.position;
    const int free =
        before.free_for == 0 ? 1 : before.free_for + static_cast<int>(seconds / HandState::free_step_seconds);
    after.free_for =
        before.position == 0 ? 0 : static_cast<std::uint8_t>(std::min<int>(free, HandState::most_free));
  } else {
    after.position = grip.position;
    if (before.position != 0) frets = grip.position - before.position;
  }
  // A finger that keeps its string and goes as far as the hand guides it: the shape moves as a block.
  int guided = 0;
  int fresh_guided = 0;
  if (frets != 0) {
    for_each_finger(grip.fingers_used & before.down(), [&](std::size_t f) {
      const Held& held = before.held[f];
      if (held.strings != grip.use[f].strings || grip.use[f].fret - held.fret != frets) return;
      ++guided;
      if (is_fresh(held)) ++fresh_guided;
    });
    const bool carried =  // a slide takes the hand along
        grip.slurred &&
        std::find(grip.techniques.begin(), grip.techniques.end(), Technique::slide) != grip.techniques.end();
    if (!carried) cost.shift = shift_cost(std::abs(frets), before.free_for, fresh_guided > 1, seconds);
  }

  const Passage passage{grip, frets, guided > 0};
  const auto keep = [&after](std::size_t f, const Held& held) {
    after.held[f] = held;
    if (held.strings != 0) after.fingers |= static_cast<std::uint8_t>(1U << f);
    if (is_bar(held)) after.fingers |= HandState::any_bar;
  };
  for_each_finger(grip.fingers_used,
                  [&](std::size_t f) { keep(f, put_down(f, before.held[f], passage, cost)); });
  for_each_finger(before.down() & ~static_cast<unsigned>(grip.fingers_used), [&](std::size_t f) {
    cost.fingers += swap_cost(before.held[f], grip);
    if (before.held[f].left > 1) keep(f, stay_down(f, before.held[f], passage, cost));
  });
  return cost;
}

// A finger that the grip uses.
Held FretHand::put_down(std::size_t finger, const Held& held, const Passage& passage, HandMove& cost) const {
  const Grip& grip = passage.grip;
  const FingerUse& use = grip.use[finger];
  Held now{use.strings, use.fret, HandState::remembered, static_cast<std::uint8_t>(use.ringing)};
  if (use.ringing == RequestedNote::let_ring) now.left = HandState::let_ring_remembered;
  const bool several = (grip.fingers_used & (grip.fingers_used - 1U)) != 0;
  if (use.ringing == RequestedNote::natural && several) now.ringing = Held::in_shape;
  if (held.strings == 0) return now;

  const bool over_open = (held.strings & grip.open) != 0;
  const bool same_fret = held.fret == use.fret;
  if (same_fret && (use.strings & ~held.strings) == 0) {  // it is there already
    if (!over_open) now.strings |= static_cast<std::uint8_t>(held.strings & ~grip.sounding);
    if (use.ringing == RequestedNote::natural && held.ringing == Held::in_shape) now.ringing = Held::in_shape;
    return now;
  }
  if (same_fret && finger == 0 && is_fresh(held) && !over_open && can_lie_down(held, grip)) {
    cost.fingers += costs_.index_bar;
    return now;
  }
  const bool guided = passage.block && held.strings == use.strings && use.fret - held.fret == passage.frets;
  if (is_fresh(held) && !guided) cost.fingers += costs_.leap;
  if ((held.strings & ~grip.sounding) != 0) cost.ring += cut_cost(held);
  return now;
}

// A finger that the grip does not use, and that is not forgotten yet.
Held FretHand::stay_down(std::size_t finger, const Held& held, const Passage& passage, HandMove& cost) const {
  const Grip& grip = passage.grip;
  // Strings that are struck anew no longer need the finger; under a higher finger it stays planted.
  const bool needed = (held.strings & ~grip.sounding) != 0;
  const bool over_open = (held.strings & grip.open) != 0;
  Held now = a_stroke_later(held);
  if (!over_open && stands_with(finger, held, grip)) {
    if (!needed) now.ringing = RequestedNote::stopped_short;
    return matters(now) ? now : Held{};
  }
  if (needed) cost.ring += cut_cost(held);
  const int along = held.fret + passage.frets;
  if (!passage.block || over_open || along < 1 || !is_bar(held)) return {};
  now.fret = static_cast<std::uint8_t>(along);
  now.ringing = RequestedNote::stopped_short;
  return stands_with(finger, now, grip) ? now : Held{};
}

}  // namespace fifthpeg::hands
