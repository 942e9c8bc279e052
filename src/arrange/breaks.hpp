// Several breaks of one tune in a row.
#pragma once

#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg::arranging {

// What begins a score says so where something stands before it: a repeat that goes back there, and the tempo
// of music that changes it.
void state_beginning(Score& score);

// What the last measure of a break gives up, so that the next one begins with its pickup in time, as a repeat
// would have it: nothing where there is none, where the measure is that much shorter already, or where the
// melody still has notes there.
Fraction room_for_pickup(const Score& melody);

// Breaks that have the same measures, one after the other: counted anew, with a double bar and "Break 1",
// "Break 2" ... between. All but the last give up `room` at their end.
Score joined(std::vector<Score> breaks, Fraction room);

}  // namespace fifthpeg::arranging
