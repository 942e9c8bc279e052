// A plain accompaniment: bass and chords as a guitar plays them under a tune.
#pragma once

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::performance {

struct Backing {
  Score bass;
  Score chords;
};

// For a piece that is played straight through. The bass has the beats that begin a measure and its second
// half, the root of the chord and its fifth in turn; the chords have the others, short. Where a measure has
// two beats, the bass has both, and the chords come between them; of beats in three parts, in the last one. A
// pickup has none, and where no chord symbol says what to play, nothing sounds (common practice). The report
// names chord symbols that say no notes.
Backing backing_for(const Score& piece, Report& report);

}  // namespace fifthpeg::performance
