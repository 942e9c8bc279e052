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
  std::array<std::uint8_t, finger_count> fret{};     // of each finger; 0 where it is up
  std::array<std::uint8_t, finger_count> strings{};  // that it stops or lies over, as bits
  std::uint8_t position = 0;                         // 0 until a string is first stopped
  std::uint8_t spent : 5 = 0;  // fingers that have left the shape they were put down for, as bits
  std::uint8_t idle : 3 = 0;   // for how many sixteenths the hand has not been needed, up to a quarter
  std::uint8_t fresh = 0;      // of the strings held, those that ring since the stroke before
  std::uint8_t lowest = 0;     // the lowest fret of the last stroke with stopped notes
  std::uint8_t let_ring = 0;   // of the strings held, those that are to ring on
  std::uint8_t sounding = 0;   // strings of the stroke before, and
  static constexpr std::uint8_t slurred = 0x80;  // where a slur led to it
  friend bool operator==(const HandState&, const HandState&) = default;
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
    for (int low = 1; low <= highest_fret; ++low) {
      for (int high = low; high <= highest_fret; ++high) {
        for (std::size_t apart = 1; apart < 4; ++apart) {
          for (std::size_t f = 0; f + apart < 4; ++f) {
            const double limit =
                neck.limits(static_cast<int>(f) + 1, static_cast<int>(f + apart) + 1).comfortable;
            if (neck.span_mm(low, high) > limit) continue;
            comfortable_to_[f][f + apart][static_cast<std::size_t>(low)] = static_cast<std::uint8_t>(high);
          }
        }
      }
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
  // What a move costs at least, repeats aside; `impossible` where the hand does not reach.
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
  // For each pair of fingers and each low fret: the highest fret that is comfortable with it.
  std::array<std::array<std::array<std::uint8_t, highest_fret + 1>, 4>, 4> comfortable_to_{};
};

}  // namespace fifthpeg::hands
