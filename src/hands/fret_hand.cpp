#include "hands/fret_hand.hpp"

#include <algorithm>
#include <bit>
#include <cstdlib>

namespace fifthpeg::hands {
namespace {

// The finger and fret that a string sounds with: the highest that is down there. Finger -1: the open string.
struct Stopped {
  int finger = -1;
  int fret = 0;
};

Stopped stopped_at(const HandState& state, std::uint8_t string) {
  Stopped result;
  for (std::size_t f = 0; f < finger_count; ++f) {
    if ((state.strings[f] & string) != 0 && state.is_down(f) && state.fret[f] > result.fret) {
      result = {static_cast<int>(f), state.fret[f]};
    }
  }
  return result;
}

int half_steps_above_open(const Banjo& banjo, int string, int fret) {
  return fret == 0 || string != fifth_string ? fret : fret + banjo.capo - banjo.fifth_capo;
}

std::uint8_t finger_bit(std::size_t finger) {
  return static_cast<std::uint8_t>(1U << finger);
}

std::uint8_t minus(std::uint8_t strings, unsigned others) {
  return static_cast<std::uint8_t>(strings & ~others);
}

// How far from its own fret in the position, one finger a fret, a finger reaches.
constexpr int most_below = 3;
constexpr int most_above = 2;

bool reaches(int position, std::size_t finger, const Grip& grip) {
  const int off = grip.use[finger].fret - (position + static_cast<int>(finger));
  return grip.wide ? off >= -most_below && off <= most_above : off >= -1 && off <= 1;
}

// Whether a finger goes back to the place that it has just left.
bool goes_back(const HandState& before, std::size_t finger, const FingerUse& use) {
  return before.fret[finger] == (use.fret | HandState::lifted) && use.covered == before.strings[finger];
}

bool all_reach(int position, const Grip& grip) {
  bool all = true;
  for_each_finger(grip.fingers_used & (finger_bit(thumb_index) - 1U),
                  [&](std::size_t f) { all = all && reaches(position, f, grip); });
  return all;
}

// Whether the grip's position is no move: the hand is there and reaches all. At the nut it may be there and
// not reach, since the little finger's own place would lie before the first fret.
bool stays_there(int position, const Grip& grip) {
  return grip.position == position && all_reach(position, grip);
}

// Whether a long string rang open in the stroke before.
bool follows_open_string(const HandState& before) {
  return (before.sounding & (string_bit(fifth_string) - 1U) & ~unsigned{before.held()}) != 0;
}

// Whether a finger is put down, or laid further, on a string that another has open.
bool changes_for(const HandState& before, const Grip& grip, int frets) {
  for (std::size_t f = 0; f < finger_count; ++f) {
    const unsigned wanted = grip.use[f].strings & grip.open_elsewhere;
    const bool there = before.is_down(f) && before.fret[f] + frets == grip.use[f].fret;
    if ((wanted & ~(there ? before.strings[f] : 0U)) != 0) return true;
  }
  return false;
}

}  // namespace

// ---- whether and how far -----------------------------------------------------------------------

bool FretHand::goes(const HandState& before, const Grip& grip, std::size_t note) const {
  const int string = grip.notes[note].string;
  if ((before.sounding & string_bit(string)) == 0) return false;
  const Stopped from = stopped_at(before, string_bit(string));
  const int fret = fret_of(grip.notes[note]);
  const int finger = static_cast<int>(grip.fingers[note]) - 1;
  const int half_steps = std::abs(half_steps_above_open(neck_.banjo(), string, fret) -
                                  half_steps_above_open(neck_.banjo(), string, from.fret));
  const bool hand_stays = grip.position == 0 || grip.position == before.position;
  switch (grip.techniques[note]) {
    case Technique::hammer_on:
      // Lands with a higher finger; from an open string the hand may come from anywhere.
      return half_steps <= costs_.longest_hammer && fret > from.fret && finger > from.finger &&
             (from.fret == 0 || hand_stays);
    case Technique::pull_off:
      // A lower finger is already there, or the string is left open.
      return half_steps <= costs_.longest_hammer && fret < from.fret &&
             (fret == 0 || (finger < from.finger && hand_stays));
    default:
      return half_steps <= costs_.longest_slide && from.fret > 0 && fret != from.fret &&
             finger == from.finger;
  }
}

bool FretHand::goes_from(int position, const Grip& grip) {
  if (grip.fingers_used == 0 || grip.slides) return true;
  return grip.position != 0 ? !stays_there(position, grip) : position != 0 && all_reach(position, grip);
}

int FretHand::least(const HandState& before, const Grip& grip, Wait wait) const {
  if (grip.fingers_used == 0 || grip.slides) return 0;
  const int frets = grip.position != 0 && before.position != 0 ? grip.position - before.position : 0;
  int least = frets != 0 ? shift_cost(frets, before.idle, wait) : 0;
  bool anew = frets != 0;
  for_each_finger(grip.fingers_used, [&](std::size_t f) {
    const FingerUse& use = grip.use[f];
    const bool there = before.is_down(f) && before.fret[f] + frets == use.fret;
    if (there && (f == 0 || (use.covered & ~before.strings[f]) == 0))
      return;  // the index finger may lie down
    least += costs_.place_in_shape;
    anew = anew || frets != 0 || !goes_back(before, f, use);
  });
  return anew ? least + leap_cost(before, grip, wait) : least;
}

int FretHand::leap_cost(const HandState& before, const Grip& grip, Wait wait) const {
  const int beyond = std::abs(grip.lowest - before.lowest) - costs_.longest_step;
  if (before.lowest == 0 || beyond <= 0 || grip.slides) return 0;
  const bool fast = wait.wholes + static_cast<float>(before.idle) / 16.0F < 0.25F;
  return !fast ? 0 : costs_.fast_leap + beyond * costs_.fast_leap_fret;
}

FretHand::Way FretHand::way_to(const HandState& before, const Grip& grip) const {
  Way way;
  bool slid = false;
  for (std::size_t n = 0; grip.slurred && n < static_cast<std::size_t>(grip.count); ++n) {
    if (grip.techniques[n] == Technique::none) continue;
    if (!goes(before, grip, n)) return way;
    if (grip.techniques[n] != Technique::slide) continue;
    const int frets = fret_of(grip.notes[n]) - stopped_at(before, string_bit(grip.notes[n].string)).fret;
    if (slid && frets != way.frets) return way;  // what slides goes together
    slid = true;
    way.frets = frets;
    way.technique = std::abs(frets) * costs_.slide_fret;
  }
  if (slid) {
    way.position = std::max(1, before.position + way.frets);
  } else if (grip.fingers_used == 0 || grip.position == 0) {
    if (grip.fingers_used != 0 && before.position == 0) return way;
    way.position = before.position;
  } else {
    if (stays_there(before.position, grip)) return way;  // which is another grip's
    way.position = grip.position;
    if (before.position != 0) way.frets = grip.position - before.position;
  }
  way.possible = grip.position != 0 || all_reach(way.position, grip);
  return way;
}

// ---- what stays down ---------------------------------------------------------------------------

bool FretHand::comfortable(std::size_t a, int a_fret, std::size_t b, int b_fret) const {
  if (a == thumb_index || b == thumb_index) {
    const auto [low, high] = std::minmax(a_fret, b_fret);
    return neck_.span_mm(low, high) <= neck_.thumb_limit();
  }
  if (a > b) {
    std::swap(a, b);
    std::swap(a_fret, b_fret);
  }
  return a_fret <= b_fret && neck_.span_mm(a_fret, b_fret) <=
                                 neck_.limits(static_cast<int>(a) + 1, static_cast<int>(b) + 1).comfortable;
}

// The strings on which a finger that the grip does not use can stay down under it; none where it has to go.
std::uint8_t FretHand::stays(std::size_t finger, std::uint8_t strings, int fret, const Grip& grip) const {
  std::uint8_t left = minus(strings, grip.open);
  if (left != strings && across(left) != left) return 0;
  for (unsigned used = grip.fingers_used; used != 0 && left != 0; used &= used - 1U) {
    const auto f = static_cast<std::size_t>(std::countr_zero(used));
    const FingerUse& use = grip.use[f];
    if (use.fret == fret) left = minus(left, use.covered);
    if (use.fret < fret) left = minus(left, use.strings);
    // At one fret fingers stand in the order of the strings, the first string's highest.
    const bool in_order =
        use.fret != fret || f == thumb_index || finger == thumb_index || (f > finger) == (use.strings < left);
    if (across(left) != left || !in_order || !comfortable(finger, fret, f, use.fret)) return 0;
  }
  return left;
}

// Whether the index finger, down at that fret, can lie down further for what the grip asks of it.
bool FretHand::extends(std::uint8_t strings, const FingerUse& use, const Grip& grip) const {
  const std::uint8_t all = across(static_cast<unsigned>(strings | use.strings));
  if ((all & grip.open) != 0) return false;
  for (std::size_t n = 0; n < static_cast<std::size_t>(grip.count); ++n) {
    if ((all & string_bit(grip.notes[n].string)) != 0 && grip.notes[n].fret < use.fret) return false;
  }
  return true;
}

// ---- what it costs -----------------------------------------------------------------------------

int FretHand::bar_cost(std::size_t finger, std::uint8_t strings) const {
  const int over = bits_in(strings);
  if (over < 2) return 0;
  return (finger == 0   ? costs_.index_bar
          : finger == 2 ? costs_.ring_bar
                        : costs_.other_bar) +
         (over - 2) * costs_.bar_string;
}

int FretHand::tie_cost(const HandState& before, const Grip& grip) const {
  int cost = 0;
  for (std::size_t n = 0; n < static_cast<std::size_t>(grip.count); ++n) {
    const std::uint8_t string = string_bit(grip.notes[n].string);
    if ((grip.picked & string) != 0 || grip.techniques[n] != Technique::none) continue;
    const Stopped from = stopped_at(before, string);
    if ((before.sounding & string) == 0 || from.fret != grip.notes[n].fret) {
      cost += costs_.broken_tie;
    } else if (from.fret > 0 && from.finger != static_cast<int>(grip.fingers[n]) - 1) {
      cost += costs_.substitute;
    }
  }
  return cost;
}

// What is to ring on keeps its string as it is for the time of a measure or so.
int FretHand::ring_on(const HandState& before, const Grip& grip, Wait wait, HandState& after) const {
  constexpr unsigned longest = 7;
  const auto eighths = static_cast<unsigned>(std::clamp(wait.wholes * 8.0F, 1.0F, 7.0F));
  const unsigned for_more = before.rings_for > eighths ? before.rings_for - eighths : 0;
  const unsigned rings = for_more == 0 ? 0U : before.let_ring;
  int cost = 0;
  for (unsigned left = rings & ~(grip.sounding ^ unsigned{grip.picked}); left != 0; left &= left - 1U) {
    const auto string = static_cast<std::uint8_t>(left & (~left + 1U));
    if (stopped_at(before, string).fret != stopped_at(after, string).fret) cost += costs_.cut_let_ring;
  }
  const unsigned before_it = rings & ~static_cast<unsigned>(grip.sounding);
  after.let_ring = (before_it | grip.let_ring) & 31U;
  after.rings_for = (grip.let_ring != 0 ? longest : for_more) & 7U;
  return cost;
}

int FretHand::repeat_cost(const HandState& before, const Grip& grip, Wait wait) const {
  const unsigned sounded = before.sounding & (HandState::slid - 1U);
  int cost = 0;
  if (grip.beside != 0 && (grip.beside & ~before.held()) != 0) cost += costs_.open_beside;
  if (grip.count == 2) {
    const bool two = (sounded & (sounded - 1U)) != 0 && bits_in(sounded) == 2;
    if (two && sounded != grip.sounding && grip.fingers_used != 0) cost += costs_.double_stop_elsewhere;
  }
  if (grip.count != 1 || grip.picked == 0) return cost;
  const bool slurred = (before.sounding & HandState::slurred) != 0;  // and not picked
  const int fret = grip.notes[0].fret;
  const auto pitch = [this](int string, int at) {
    return open_[static_cast<std::size_t>(string - 1)] + half_steps_above_open(neck_.banjo(), string, at);
  };
  if ((grip.picked & sounded) != 0) {
    const bool same = stopped_at(before, grip.picked).fret == fret;
    return slurred && !same ? cost : cost + (same ? costs_.same_place : costs_.same_string).at(wait.wholes);
  }
  const int now = pitch(grip.notes[0].string, fret);
  for (int string = 1; string <= string_count; ++string) {
    const bool rang = (sounded & string_bit(string)) != 0;
    if (string == grip.notes[0].string || (!rang && grip.notes[0].string != fifth_string)) continue;
    const Stopped stopped = stopped_at(before, string_bit(string));
    if (!rang && stopped.fret == 0) continue;
    if (pitch(string, stopped.fret) != now) continue;
    const bool drone = string == fifth_string || grip.notes[0].string == fifth_string;
    if (rang && !drone) {
      // A slide may end in the pitch that another string then gives.
      const int frets = std::abs(stopped.fret - fret);
      if ((before.sounding & HandState::slid) != 0) continue;
      cost += frets * costs_.struck_elsewhere + (frets >= 4 ? costs_.struck_far : 0);
    }
    if (!rang && !slurred && grip.notes[0].string == fifth_string) cost += costs_.held_elsewhere;
  }
  return cost;
}

// Whether a finger put down there belongs to a shape with one that is down.
bool FretHand::belongs(const HandState& after, std::size_t finger, const FingerUse& use) const {
  const int string = std::countr_zero(use.strings) + 1;
  for (std::size_t f = 0; f < finger_count; ++f) {
    if (f == finger || after.fret[f] == 0) continue;
    if ((shapes_.strings_with(finger, string, use.fret, f, after.fret[f]) & after.strings[f]) != 0)
      return true;
  }
  return false;
}

void FretHand::put_down(std::size_t finger, const Grip& grip, bool first, HandState& after,
                        HandMove& cost) const {
  const FingerUse& use = grip.use[finger];
  const int off = finger == thumb_index ? 0 : use.fret - (after.position + static_cast<int>(finger));
  int more = off < 0 ? -off * costs_.below_its_fret : off * costs_.above_its_fret;
  if (finger == 2) more += costs_.ring_finger;
  if (finger == 3) more += costs_.little_finger;
  if (finger == thumb_index) {
    more += (use.strings & string_bit(fifth_string)) != 0 ? costs_.thumb_on_drone : costs_.thumb_on_fourth;
  }
  const int high = costs_.high_up(use.fret, first) +
                   (first && use.fret <= 4 ? (after.position - 1) * costs_.first_position : 0);
  const bool in_scale = costs_.in_position && off == 0 && !first;
  if (in_scale || ((after.spent & finger_bit(finger)) == 0 && belongs(after, finger, use))) {
    cost.fingers += costs_.place_in_shape + 3 * more / 10;
    cost.fretting += high / 2;
  } else if (grip.chord != no_chord && shapes_.has_in_chord(grip.chord, finger, use.strings, use.fret)) {
    cost.fingers += costs_.place_in_chord + 3 * more / 10;
    cost.fretting += high;
    after.spent = 0;
  } else {
    cost.fingers += costs_.place + more;
    cost.fretting += high;
    after.spent = 0;  // a shape begins anew
  }
  cost.fingers += bar_cost(finger, use.covered);
  if ((use.strings & string_bit(fifth_string)) != 0) cost.fretting += costs_.fretted_drone;
  after.fret[finger] = use.fret;
  after.strings[finger] = use.covered;
}

HandMove FretHand::move(const HandState& before, const Grip& grip, Wait wait, int repeats,
                        HandState& after) const {
  HandMove cost;
  const Way way = way_to(before, grip);
  cost.technique = way.possible ? way.technique : HandMove::impossible;
  if (!way.possible) return cost;
  after = {};
  after.position = static_cast<std::uint8_t>(way.position);
  after.spent = before.spent;
  after.sounding = static_cast<std::uint8_t>(grip.sounding | (grip.slurred ? HandState::slurred : 0) |
                                             (grip.slides_as_asked ? HandState::slid : 0));
  if (grip.tied) cost.fingers += tie_cost(before, grip);
  cost.repeats = repeats;
  if (way.frets != 0) {
    after.spent = 0;
    if (!grip.slides) cost.shift = shift_cost(way.frets, before.idle, wait);
  }

  const auto cut = [&](std::size_t f, unsigned strings) {
    strings &= before.strings[f] & ~static_cast<unsigned>(grip.sounding);
    if ((strings & before.fresh) != 0) cost.ring += costs_.cut_at_once;
  };
  if (way.frets != 0) {  // what it leaves is cut once
    const unsigned left = before.held() & ~static_cast<unsigned>(grip.sounding);
    if ((left & before.fresh) != 0) cost.ring += costs_.cut_at_once;
  }
  // What is down goes along with the hand, and stays unless it is in the way.
  std::array<std::uint8_t, finger_count> along{};
  unsigned there = 0;  // fingers of the grip that are down where it asks for them
  for (std::size_t f = 0; f < finger_count; ++f) {
    const FingerUse& use = grip.use[f];
    if (!before.is_down(f)) {
      if (way.frets == 0 && goes_back(before, f, use)) {
        cost.fingers += costs_.place_in_shape;
        after.fret[f] = use.fret;
        after.strings[f] = use.covered;
        there |= finger_bit(f);
      }
      continue;
    }
    const int fret = before.fret[f] + way.frets;
    if (fret >= 1 && fret <= highest_fret) along[f] = static_cast<std::uint8_t>(fret);
    if (use.strings != 0) {
      if (along[f] == use.fret && (use.covered & ~before.strings[f]) == 0) {
        const std::uint8_t rest = minus(before.strings[f], grip.open);
        after.strings[f] = across(rest) == rest ? rest : use.covered;
        for (std::size_t g = 0; g < finger_count; ++g) {
          // Another finger lower on a string of the bar has it.
          if (g != f && grip.use[g].strings != 0 && grip.use[g].fret < use.fret) {
            const std::uint8_t without = minus(after.strings[f], grip.use[g].covered);
            after.strings[f] = across(without) == without ? without : use.covered;
          }
        }
        after.fret[f] = use.fret;
        there |= finger_bit(f);
      } else if (f == 0 && extends(before.strings[f], use, grip) && along[f] == use.fret) {
        const std::uint8_t all = across(static_cast<unsigned>(before.strings[f] | use.covered));
        cost.fingers += bar_cost(f, all) - bar_cost(f, before.strings[f]);
        if ((use.strings & string_bit(fifth_string)) != 0) cost.fretting += costs_.fretted_drone;
        after.strings[f] = all;
        after.fret[f] = use.fret;
        there |= finger_bit(f);
      } else {
        cost.fingers += (before.fresh & before.strings[f]) != 0 ? costs_.leap : 0;
        if (way.frets == 0) {
          cut(f, before.strings[f]);
          // To the next string at its fret it hops.
          const unsigned strings = before.strings[f];
          const unsigned beside = strings << 1U | strings >> 1U;
          if (use.fret != before.fret[f] || (use.strings & beside) == 0)
            after.spent = (after.spent | finger_bit(f)) & 31U;
        }
      }
      continue;
    }
    const std::uint8_t strings =
        along[f] == 0 ? std::uint8_t{0} : stays(f, before.strings[f], along[f], grip);
    if (way.frets == 0) cut(f, minus(before.strings[f], strings));
    if (strings == 0) {
      if (way.frets == 0) {
        after.spent = (after.spent | finger_bit(f)) & 31U;
        if (std::has_single_bit(before.strings[f]) && (before.strings[f] & grip.open) != 0) {
          after.fret[f] = before.fret[f] | HandState::lifted;
          after.strings[f] = before.strings[f];
        }
      }
      continue;
    }
    after.fret[f] = along[f];
    after.strings[f] = strings;
  }
  if (grip.open_elsewhere != 0 && follows_open_string(before) && changes_for(before, grip, way.frets))
    cost.fretting += costs_.stopped_for_open;
  const unsigned anew = grip.fingers_used & ~there;
  bool first = before.position == 0;
  for_each_finger(anew, [&](std::size_t f) {
    put_down(f, grip, first, after, cost);
    first = false;
  });
  if (anew != 0) cost.stretch = grip.strain;
  if (grip.fingers_used != 0) {
    after.lowest = grip.lowest;
    if (anew != 0 || way.frets != 0) cost.shift += leap_cost(before, grip, wait);
  } else {
    after.lowest = before.lowest;
    after.idle = std::min(4U, before.idle + static_cast<unsigned>(wait.wholes * 16.0F)) & 7U;
  }

  after.fresh = static_cast<std::uint8_t>(after.held() & grip.natural);
  if ((before.let_ring | grip.let_ring) != 0) cost.ring += ring_on(before, grip, wait, after);
  return cost;
}

}  // namespace fifthpeg::hands
