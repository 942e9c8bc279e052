// The tunings, capos and fifth-string spikes that players use for each style and key.
#pragma once

#include <cstdint>
#include <string_view>
#include <vector>

#include "fifthpeg/banjo.hpp"
#include "fifthpeg/hands.hpp"

namespace fifthpeg::hands {

// A key as far as a set-up goes.
struct Home {
  int tonic = 0;  // pitch class
  bool major = true;
};

struct UsualSetUp {
  const NamedTuning* tuning = nullptr;
  int capo = 0;
  int fifth_capo = fifth_nut_fret;
  Step shapes = Step::G;  // the key whose shapes the fret hand plays
  int rank = 0;           // what players try first has the lowest
  std::string_view why;   // one of them would say
  friend bool operator==(const UsualSetUp&, const UsualSetUp&) = default;
};

// Those of a style and key, in the order of their rank. No key is without.
std::vector<UsualSetUp> usual_set_ups(Style style, const Home& home);

}  // namespace fifthpeg::hands
