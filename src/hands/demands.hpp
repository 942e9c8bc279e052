// What music asks of both hands, in figures that grow with it.
//
// Read off where and when the notes are played, never off which fingers a search chose, so that nothing that
// is added makes less of anything: each is a maximum or a sum over strokes.
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg::hands {

// The tempo at which strokes are counted, in beats of the meter a minute.
inline constexpr int counted_at_tempo = 100;

// What the fret hand holds: the strings stopped in one stroke, or two strings, one of which was stopped
// before.
struct Posture {
  int low_fret = 0;
  int high_fret = 0;
  double span_mm =
      0;            // between the two; where they are parted, from the lower to the end of one hand's reach
  int stopped = 0;  // strings in one stroke
  bool parted = false;  // two strings, further apart than one hand reaches
};

// The hand has to leave its place.
struct Shift {
  int frets = 0;
  Fraction beats;       // that there are for it: since a string was last stopped
  bool slides = false;  // it goes along with a slide
};

struct Demands {
  // In the fastest run. A beat that a syncopated note holds over counts: it has to be felt. Where beats fall
  // into thirds, it does not. Runs of few strokes count less.
  double strokes_a_second = 0;
  // Strokes off the beat that are held over it; off half of it, over the half.
  std::uint64_t syncopations = 0;
  std::vector<Posture> postures;  // where strings are stopped
  // For a hand that reaches as far as CostTable::longest_step, and moves as little as it can: how many frets
  // it goes in all, with what it reaches further, and its shifts.
  int travel = 0;
  std::vector<Shift> shifts;
  std::array<std::uint64_t, 5> slurs{};  // by Technique
  std::uint64_t chokes = 0;
  std::uint64_t stopped_strokes = 0;  // strokes that a finger is down for, grace notes as well
  int stopped_strings = 0;            // that are stopped anywhere
  // Notes that the thumb picks on a long string, between strokes of the nail.
  std::uint64_t dropped_thumbs = 0;

  bool has_slurs() const {
    return std::any_of(slurs.begin(), slurs.end(), [](std::uint64_t count) { return count > 0; });
  }
  int highest_fret() const {  // 0: all strings ring open
    int highest = 0;
    for (const Posture& posture : postures) highest = std::max(highest, posture.high_fret);
    return highest;
  }
};

// Of a score whose notes have places. A capo plays no part: it makes nothing harder.
Demands demands_of(const Score& score);

}  // namespace fifthpeg::hands
