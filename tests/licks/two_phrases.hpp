// A tune in tab for licks to be put into: two phrases of four measures, whose last notes are held.
#pragma once

#include "licks/lick_text.hpp"

namespace fifthpeg::testing {

inline Score two_phrases() {
  return lick_score(
      "[G] 3:0*2 3:2*2 2:0*2 3:0*2 | [C] 2:1*2 2:0*2 3:2*2 3:0*2 | [G] 2:0*2 3:2*2 2:0*2 1:0*2 | 2:0*8 | "
      "3:0*2 3:2*2 2:0*2 3:0*2 | [C] 2:1*2 2:0*2 3:2*2 3:0*2 | [D] 2:0*2 3:2*2 3:0*2 3:2*2 | [G] 3:0*8");
}

}  // namespace fifthpeg::testing
