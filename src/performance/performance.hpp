// Playing a score by a clock that is laid out already, and the tables of it that writers share.
#pragma once

#include <string>

#include "fifthpeg/performance.hpp"
#include "performance/clock.hpp"

namespace fifthpeg::performance {

Performance perform(const Score& score, const Clock& clock, bool strings_apart);

// The syllable under a stroke when its measure is played for the nth time, or nothing: the verse with that
// number, or the first one there.
const Lyric* sung(const Stroke& stroke, int pass);

// The loudness that a dynamic mark asks for, as a note-on velocity (common practice: equal steps about mezzo
// forte), or 0 where the mark is none of these.
int velocity_of(const std::string& dynamics);

}  // namespace fifthpeg::performance
