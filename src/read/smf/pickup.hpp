// Where the first measure begins, for whoever knows better than the file: a take that was recorded without a
// click begins anywhere.
#pragma once

#include "fifthpeg/fraction.hpp"
#include "read/smf/scan.hpp"

namespace fifthpeg::smf_read {

// Moves all events alike, so that the first note of all lies `pickup` (of a whole note) before the first full
// measure, or on its first beat where that is 0. What came before the first note moves to the very beginning.
// UsageError where the pickup is no part of a measure, or the ticks are real time.
void set_pickup(Scan& scan, Fraction pickup);

}  // namespace fifthpeg::smf_read
