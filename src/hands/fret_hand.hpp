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
  std::uint8_t ringing = 0;  // a WantedNote::Ringing: what lifting it cuts short
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
  std::uint8_t sounding = 0;  // strings, as bits
  std::uint8_t unused = 0;
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

// What is known of the next stroke when states are compared.
struct Ahead {
  float seconds = 0;         // to the next stroke
  bool may_be_open = false;  // some grip of it stops nothing
  float seconds_after = 0;   // from it to the one after; large where there is none
};

class FretHand {
 public:
  FretHand(const Neck& neck, const CostTable& costs);

  // From the state before to a grip, `seconds` later; `after` becomes the state with that grip.
  HandMove move(const HandState& before, const Grip& grip, float seconds, HandState& after) const;

  // Whether any way on from `a` costs more than the same strokes, grips and digits from `b` by at most
  // `lead`, as far as bounds can tell, and as long as the very next stroke holds neither slurs nor ties. If
  // `a` is cheaper by that much, `b` need not be looked at any more.
  bool is_no_dearer(const HandState& a, const HandState& b, const Ahead& ahead, int lead) const;
  // At most how much more any way on from one state costs than from another, where one grip has led to both
  // and whatever the next stroke is: they differ only in fingers that stayed down from before. As long as the
  // hand before `b` held no bar, which a grip may renew or take along, and, if the grip is open, stood where
  // the hand before `a` stood, free for no longer.
  int older_at_most_dearer(const HandState& after, const Grip& grip) const;

  // What move() charges at least for the shift to a position, 0 being that of an open grip. (A slide charges
  // none.)
  int shift_at_least(const HandState& before, int position, float seconds) const;

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
  int shift_at_most(const HandState& a, const HandState& b, const Ahead& ahead) const;
  static bool is_swapped(const Held& held, const Grip& grip);
  static bool can_lie_down(const Held& held, const Grip& grip);
  int cut_cost(const Held& held) const;
  int left_down_at_most(const Held& held) const;
  int technique_cost(const HandState& before, const Grip& grip) const;
  int tie_cost(const HandState& before, const Grip& grip) const;
  int shift_cost(const HandState& before, int frets, float seconds, bool as_block) const;

  static constexpr std::size_t frets_known = 65;
  // Whether the higher finger of a pair can stand at the higher fret while the lower one stays, in comfort.
  bool comfortable(std::size_t lower, std::size_t higher, int low_fret, int high_fret) const;

  const Neck& neck_;
  const CostTable& costs_;
  // For each pair of fingers and each low fret: the highest fret that is comfortable with it.
  std::array<std::array<std::array<std::uint8_t, frets_known>, 4>, 4> comfortable_to_{};
};

}  // namespace fifthpeg::hands
