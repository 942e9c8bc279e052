// The shapes that players know by name, and which fingers belong together in them.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include "fifthpeg/banjo.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::hands {

// The fingers of the fret hand as indices: 0 to 3 are index to little finger, 4 is the thumb.
inline constexpr std::size_t finger_count = 5;
inline constexpr std::size_t thumb_index = 4;
constexpr std::uint8_t string_bit(int string) {
  return static_cast<std::uint8_t>(1U << (string - 1));
}

// How many bits a set of strings or picking fingers has. (std::popcount is slow without the instruction for
// it.)
constexpr int bits_in(unsigned set) {
  constexpr std::uint64_t of_four_bits = 0x4332322132212110;
  return set == 0 ? 0
                  : static_cast<int>((of_four_bits >> (4 * (set & 15U)) & 15U) +
                                     (of_four_bits >> (4 * (set >> 4U)) & 15U));
}

struct ShapeFinger {
  std::size_t finger;
  int string;
  int fret;
  friend bool operator==(const ShapeFinger&, const ShapeFinger&) = default;
};

// A shape as players know it, with its usual fingers.
struct NamedShape {
  Tuning tuning;  // that it is known from
  std::string_view name;
  bool movable = false;  // along the neck; then its index finger is at fret 1 here
  std::vector<ShapeFinger> fingers;
  std::optional<Placement> root;  // of the chord; nothing where it is no whole chord
  std::string_view quality;       // of the chord, as a chord symbol has it: "", "m", "7", "5"
};
const std::vector<NamedShape>& named_shapes();
// Whether its strings lie as far apart there as on its own tuning: of a chord all long ones.
bool lies_on(const Tuning& tuning, const NamedShape& shape);

// Which fingers belong to one named shape, on one tuning. A shape moves along the neck unless it needs open
// strings; any two of its fingers are a part of it.
class Shapes {
 public:
  explicit Shapes(const Banjo& banjo);

  // The strings, as bits, on which another finger at `other_fret` belongs to a shape with this one.
  std::uint8_t strings_with(std::size_t finger, int string, int fret, std::size_t other,
                            int other_fret) const {
    const int apart = other_fret - fret;
    if (apart < -widest || apart > widest) return 0;
    const auto slot = slot_of(finger, string, other, apart);
    const auto nut = static_cast<std::size_t>(fret <= highest_open ? fret : 0);
    return static_cast<std::uint8_t>(movable_[slot] | at_the_nut_[nut][slot]);
  }

  // Whether a finger on all these strings belongs to a shape of a chord, as chord_of() numbers them.
  bool has_in_chord(std::int16_t chord, std::size_t finger, std::uint8_t strings, int fret) const {
    if (finger >= thumb_index || fret > highest_in_chord) return false;
    return (strings & ~in_chord_[static_cast<std::size_t>(chord)][finger][static_cast<std::size_t>(fret)]) ==
           0;
  }

 private:
  static constexpr int highest_in_chord = 24;
  void add_to_chords(const NamedShape& shape, const Banjo& banjo);
  static constexpr int widest = 4;
  static constexpr int highest_open = 4;  // the highest fret of a shape with open strings
  using Pairs = std::array<std::uint8_t, finger_count * string_count * finger_count*(2 * widest + 1)>;
  static std::size_t slot_of(std::size_t finger, int string, std::size_t other, int apart) {
    return ((finger * string_count + static_cast<std::size_t>(string - 1)) * finger_count + other) *
               (2 * widest + 1) +
           static_cast<std::size_t>(apart + widest);
  }

  Pairs movable_{};
  std::array<Pairs, highest_open + 1> at_the_nut_{};  // by the first finger's fret
  // Strings, as bits, by chord, finger and fret.
  std::array<std::array<std::array<std::uint8_t, highest_in_chord + 1>, thumb_index>, 24> in_chord_{};
};

}  // namespace fifthpeg::hands
