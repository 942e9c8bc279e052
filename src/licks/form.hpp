// A lick without its key, its capo and its place on paper: what makes it that lick.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg::licks {

struct FormStroke {
  Fraction at;               // from the barline before the first stroke
  std::vector<int> pitches;  // MIDI, rising
  std::vector<int> strings;  // rising; empty where one is not known
  std::uint32_t manner = 0;  // how it is played: slurred or slid into, a grace note, brushed, a chime ...
  int direction = 0;         // of its highest note from that of the stroke before: -1 down, 1 up
};

// What is struck or slurred, in the order in which it is played; ties are not struck again.
struct LickForm {
  std::vector<FormStroke> strokes;
};
LickForm form_of(const Score& lick);

// As the public likeness() of the licks that these are forms of.
double likeness(const LickForm& one, const LickForm& other);

// Equal for licks whose likeness is 1, and for no others.
std::string identity_of(const LickForm& form);

}  // namespace fifthpeg::licks
