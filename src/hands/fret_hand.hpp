// The fret hand between two strokes: which fingers are down and where, and what it costs to go on.
//
// Fingers stay down until something makes one leave: its string must sound otherwise, the finger is needed
// elsewhere, it is in the way, or the hand moves, which takes along what it holds. Holding costs nothing and
// rings; letting go costs nothing but what it cuts short.
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstdlib>

#include "hands/costs.hpp"
#include "hands/grips.hpp"
#include "hands/shapes.hpp"
#include "hands/stroke_sequence.hpp"

namespace fifthpeg::hands {

// Everything about the fret hand's past on which the cost of the next stroke depends.
struct HandState {
  std::array<std::uint8_t, finger_count> fret{};     // of each finger; 0 where it is up, and
  std::array<std::uint8_t, finger_count> strings{};  // that it stops or lies over, as bits
  std::uint8_t position = 0;                         // 0 until a string is first stopped
  std::uint8_t spent : 5 = 0;      // fingers that have left the shape they were put down for, as bits
  std::uint8_t idle : 3 = 0;       // for how many sixteenths the hand has not been needed, up to a quarter
  std::uint8_t fresh = 0;          // of the strings held, those that ring since the stroke before
  std::uint8_t lowest = 0;         // the lowest fret of the last stroke with stopped notes
  std::uint8_t let_ring : 5 = 0;   // strings that are to ring on, as bits, and
  std::uint8_t rings_for : 3 = 0;  // for how many eighths
  std::uint8_t sounding = 0;       // strings of the stroke before, and
  static constexpr std::uint8_t slurred = 0x80;  // where a slur led to it, and
  static constexpr std::uint8_t slid = 0x40;     // where that is a slide of the source
  static constexpr std::uint8_t lifted = 0x80;   // where it has just let its string sound open
  friend bool operator==(const HandState&, const HandState&) = default;

  bool is_down(std::size_t finger) const { return fret[finger] != 0 && fret[finger] < lifted; }
  // Strings that are stopped or lain over, as bits.
  unsigned held() const {
    unsigned all = 0;
    for (std::size_t f = 0; f < finger_count; ++f) all |= is_down(f) ? strings[f] : 0U;
    return all;
  }
};

// What going on costs, by kind.
struct HandMove {
  static constexpr int impossible = 1 << 24;  // as a technique
  int fretting = 0;
  int stretch = 0;
  int fingers = 0;
  int shift = 0;
  int ring = 0;
  int repeats = 0;
  int technique = 0;
  int total() const { return fretting + stretch + fingers + shift + ring + repeats + technique; }
};

class FretHand {
 public:
  FretHand(const Neck& neck, const CostTable& costs) : neck_(neck), costs_(costs), shapes_(neck.banjo()) {
    for (int string = 1; string <= string_count; ++string) {
      open_[static_cast<std::size_t>(string - 1)] = neck.banjo().open_midi(string);
    }
  }

  // From the state before to a grip; `after` becomes the state with that grip.
  HandMove move(const HandState& before, const Grip& grip, Wait wait, HandState& after) const {
    return move(before, grip, wait, repeat_cost(before, grip, wait), after);
  }
  // The same with what is repeated known: it depends on the places only.
  HandMove move(const HandState& before, const Grip& grip, Wait wait, int repeats, HandState& after) const;
  // A string that is picked twice in a row in single notes, a pitch struck again elsewhere, double stops that
  // change their strings.
  int repeat_cost(const HandState& before, const Grip& grip, Wait wait) const;

  // What it costs that the hand leaves its position, at least.
  int shift_cost(int frets, int idle, Wait wait) const {
    const int shift = costs_.shift + std::abs(frets) * costs_.shift_fret;
    if (wait.wholes >= 0.25F) return 6 * shift / 10;
    return idle >= 4 ? shift : shift + costs_.hurried_shift.at(wait.wholes);
  }
  // Whether a hand in that position can go on to the grip: it reaches or leaves. Techniques and slides aside.
  static bool goes_from(int position, const Grip& grip);
  // What a move costs at least where it can go on, repeats aside.
  int least(const HandState& before, const Grip& grip, Wait wait) const;

 private:
  // How far the hand goes, or nothing where it cannot go there or a technique does not lead there.
  struct Way {
    bool possible = false;
    int frets = 0;
    int position = 0;
    int technique = 0;  // cost
  };
  Way way_to(const HandState& before, const Grip& grip) const;
  bool goes(const HandState& before, const Grip& grip, std::size_t note) const;
  int ring_on(const HandState& before, const Grip& grip, Wait wait, HandState& after) const;
  int tie_cost(const HandState& before, const Grip& grip) const;
  int leap_cost(const HandState& before, const Grip& grip, Wait wait) const;
  std::uint8_t stays(std::size_t finger, std::uint8_t strings, int fret, const Grip& grip) const;
  bool comfortable(std::size_t a, int a_fret, std::size_t b, int b_fret) const;
  bool extends(std::uint8_t strings, const FingerUse& use, const Grip& grip) const;
  int bar_cost(std::size_t finger, std::uint8_t strings) const;
  bool belongs(const HandState& after, std::size_t finger, const FingerUse& use) const;
  void put_down(std::size_t finger, const Grip& grip, bool first, HandState& after, HandMove& cost) const;

  const Neck& neck_;
  const CostTable& costs_;
  const Shapes shapes_;
  std::array<int, string_count> open_{};  // pitches
};

}  // namespace fifthpeg::hands
