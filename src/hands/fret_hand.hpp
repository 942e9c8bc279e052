// The fret hand between two strokes: where its fingers are, and what it costs to go on.
#pragma once

#include <array>
#include <cstdint>
#include <cstring>

#include "hands/costs.hpp"
#include "hands/grips.hpp"

namespace fifthpeg::hands {

// A finger that is down, or was so lately that it matters.
struct Held {
  std::uint8_t strings = 0;  // as bits; 0 where the finger is free
  std::uint8_t fret = 0;
  std::uint8_t left = 0;     // strokes for which it is still remembered, see HandState
  std::uint8_t ringing = 0;  // a RequestedNote::Ringing or `in_shape`: what lifting it cuts short
  // As natural, of a grip of several fingers.
  static constexpr std::uint8_t in_shape = RequestedNote::let_ring + 1;
  friend bool operator==(const Held&, const Held&) = default;
};

// Everything about the fret hand's past on which the cost of the next stroke depends: where the hand is, for
// how long nothing has needed it, which strings sounded in the stroke before, and which fingers hold what.
// A finger is forgotten a few strokes after its note: by then the note has died away on a banjo.
struct HandState {
  // Held::left of a finger that has just been put down, and of one whose note rings on; counted down by one
  // a stroke, the latter past the former, so that these two values mean the stroke just before.
  static constexpr std::uint8_t remembered = 3;
  static constexpr std::uint8_t let_ring_remembered = 7;
  // `free_for` is 0 while fingers are needed, else 1 and the time since then in steps of 50 ms.
  static constexpr float free_step_seconds = 0.05F;
  static constexpr std::uint8_t most_free = 8;
  static constexpr std::size_t positions = 65;  // 0 to 64

  std::array<Held, finger_count> held{};
  std::uint8_t position = 0;  // 0 until a string is first stopped
  std::uint8_t free_for = 0;
  std::uint8_t sounding = 0;                     // strings, as bits
  std::uint8_t fingers = 0;                      // those that hold anything, as bits, and any_bar
  static constexpr std::uint8_t any_bar = 0x80;  // where one of them holds several strings
  unsigned down() const { return fingers & (any_bar - 1U); }
  friend bool operator==(const HandState&, const HandState&) = default;
};

// Whether the finger stops several strings. (std::has_single_bit counts bits, which is slow without the
// instruction for it.)
constexpr bool is_bar(const Held& held) {
  return (held.strings & (held.strings - 1)) != 0;
}
// Whether the finger was put down for the stroke just before.
constexpr bool is_fresh(const Held& held) {
  return held.left == HandState::remembered || held.left == HandState::let_ring_remembered;
}

// What going on costs, by kind.
struct HandMove {
  static constexpr int impossible = 1 << 24;  // as a technique: the slur does not go this way
  int fingers = 0;
  int shift = 0;
  int ring = 0;
  int technique = 0;
  int total() const { return fingers + shift + ring + technique; }
};

class FretHand {
 public:
  FretHand(const Neck& neck, const CostTable& costs);

  // From the state before to a grip, `seconds` later; `after` becomes the state with that grip.
  HandMove move(const HandState& before, const Grip& grip, float seconds, HandState& after) const;

  // Bounds for two states that one grip has led to, with the hand in one place and, if the grip is open, free
  // for no less time in the first. They differ only in fingers that stayed down from before: any way on from
  // the first costs more than the same way on from the second by at most older_at_most_dearer() of the first
  // and older_bars_spare() of the second together.
  int older_at_most_dearer(const HandState& after, const Grip& grip) const {
    return after.down() == grip.fingers_used && (after.fingers & HandState::any_bar) == 0
               ? 0
               : older_dearer(after, grip);
  }
  int older_bars_spare(const HandState& after, const Grip& grip) const {
    return (after.fingers & HandState::any_bar) == 0 ? 0 : older_bars_spare_any(after, grip);
  }
  // At most what older_bars_spare() can be after any grip.
  int bars_spare(const HandState& before) const {
    return (before.fingers & HandState::any_bar) == 0 ? 0 : bars_spare_any(before);
  }

  // What move() charges for a shift of so many frets to a grip that stops a string, by a hand that has been
  // free for so long (HandState::free_for), as a block or not. A slide charges none.
  int shift_cost(int frets, std::uint8_t free_for, bool as_block, float seconds) const;
  // Whether some grip may move the hand as a block.
  static bool may_go_as_block(const HandState& before);

 private:
  // How the hand goes on: to a grip, by so many frets, as one block or finger by finger.
  struct Passage {
    const Grip& grip;
    int frets;
    bool block;
  };
  Held put_down(std::size_t finger, const Held& held, const Passage& passage, HandMove& cost) const;
  Held stay_down(std::size_t finger, const Held& held, const Passage& passage, HandMove& cost) const;
  bool stands_with(std::size_t finger, const Held& held, const Grip& grip) const;
  int swap_cost(const Held& held, const Grip& grip) const;
  static bool can_lie_down(const Held& held, const Grip& grip);
  int cut_cost(const Held& held) const;
  bool matters(const Held& older) const;
  int older_dearer(const HandState& after, const Grip& grip) const;
  int older_bars_spare_any(const HandState& after, const Grip& grip) const;
  int bars_spare_any(const HandState& before) const;
  int left_down_at_most(const Held& held) const;
  int bar_spares_at_most(const Held& held) const;
  int technique_cost(const HandState& before, const Grip& grip) const;
  int tie_cost(const HandState& before, const Grip& grip) const;

  static constexpr std::size_t frets_known = 65;
  // Whether the higher finger of a pair can stand at the higher fret while the lower one stays, in comfort.
  bool comfortable(std::size_t lower, std::size_t higher, int low_fret, int high_fret) const;

  const Neck& neck_;
  const CostTable& costs_;
  // For each pair of fingers and each low fret: the highest fret that is comfortable with it.
  std::array<std::array<std::array<std::uint8_t, frets_known>, 4>, 4> comfortable_to_{};
};

}  // namespace fifthpeg::hands
