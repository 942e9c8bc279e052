// Grips: the ways in which the fret hand can hold one stroke.
#pragma once

#include <array>
#include <bit>
#include <cstdint>
#include <vector>

#include "hands/costs.hpp"
#include "hands/reach.hpp"
#include "hands/request.hpp"
#include "hands/shapes.hpp"

namespace fifthpeg::hands {

// No neck has more; what lies beyond is not played.
inline constexpr int highest_fret = 48;
// The strings, and those between the outermost of them; none for none.
constexpr std::uint8_t across(unsigned strings) {
  const unsigned lowest = strings & (~strings + 1U);
  unsigned highest = lowest;
  for (unsigned bit = lowest; bit != 0 && bit <= strings; bit <<= 1U) highest = bit;
  return lowest == 0 ? std::uint8_t{0} : static_cast<std::uint8_t>(2U * highest - lowest);
}

// Calls `of(f)` for every finger of a set of bits, the lowest first.
template <class OfFinger>
constexpr void for_each_finger(unsigned fingers, const OfFinger& of) {
  for (; fingers != 0; fingers &= fingers - 1U) of(static_cast<std::size_t>(std::countr_zero(fingers)));
}

// What one finger does in a grip: one string, or several at the same fret.
struct FingerUse {
  std::uint8_t strings = 0;  // that it stops, as bits
  std::uint8_t covered = 0;  // these, and those that a bar lies over in between
  std::uint8_t fret = 0;
};

struct Grip {
  // Of every note, in the order of the stroke's notes.
  std::array<Placement, string_count> notes{};
  std::array<FretFinger, string_count> fingers{};
  std::array<Technique, string_count> techniques{};  // hammer-on, pull-off or slide into it
  std::uint8_t count = 0;

  std::array<FingerUse, finger_count> use{};
  std::uint8_t fingers_used = 0;  // as bits
  std::uint8_t lowest = 0;        // stopped fret; 0 for none
  // Where the index finger stands, or would stand with one finger a fret; 0: where it stood before, or as far
  // from there as a slide takes it.
  std::uint8_t position = 0;
  std::uint8_t sounding = 0;        // strings, as bits
  std::uint8_t open = 0;            // of these, those that ring open
  std::uint8_t open_elsewhere = 0;  // stopped, of a pitch that a silent long string has open
  std::uint8_t picked = 0;          // of these, those that are struck by the picking hand
  std::uint8_t beside = 0;  // strings not sounding that would give, open, what one beside them is stopped for
  std::uint8_t natural = 0;   // those whose notes ring until the finger is needed
  std::uint8_t let_ring = 0;  // those whose notes are to ring on
  std::int16_t chord = no_chord;
  bool wide = false;         // fingers reach further from their frets than one: chords, slurs and ties
  std::uint16_t places = 0;  // the same for grips in a row that pick the same places
  bool slurred = false;
  bool slides = false;
  bool slides_as_asked = false;  // by the source
  bool tied = false;
  int strain = 0;  // of the stretch, where a finger is put down

  // What it costs whatever was before, by CostKind, and together.
  std::array<std::int16_t, cost_kinds> cost{};
  int total = 0;
};

// The part of the neck that was asked for.
struct Confinement {
  int low = 1;
  int high = 127;
  friend bool operator==(const Confinement&, const Confinement&) = default;
};

// All grips for a stroke, in a fixed order: one note a string, frets that exist, no stretch past the hard
// limit, fingers in fret order, one finger for several strings only at one fret and with nothing ringing
// open under it. Fixed points are kept. Empty where no hand can hold the stroke.
std::vector<Grip> grips_for(const RequestedStroke& stroke, const Neck& neck, const CostTable& costs,
                            const Confinement& confinement);
// Whether there is any.
bool can_be_held(const RequestedStroke& stroke, const Neck& neck);

}  // namespace fifthpeg::hands
