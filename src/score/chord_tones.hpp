// Which notes the chord of a chord symbol has.
#pragma once

#include <optional>

#include "fifthpeg/score.hpp"

namespace fifthpeg {

// Sets of pitch classes, as bits: bit 0 is C. What stands under the slash is not among them.
struct ChordTones {
  unsigned all = 0;
  unsigned needed = 0;  // without which it is another chord, or none

  static constexpr unsigned bit(int midi) { return 1U << static_cast<unsigned>(pitch_class(midi)); }
  bool has(int midi) const { return (all & bit(midi)) != 0; }
};

// Nothing for "N.C." and for symbols that name what a chord does and not its notes, such as the Neapolitan.
std::optional<ChordTones> chord_tones(const ChordSymbol& chord);

}  // namespace fifthpeg
