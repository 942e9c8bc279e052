// A lick as it is put into tunes: with places, fingers and chords, and what it asks of where it stands.
#pragma once

#include <optional>
#include <vector>

#include "arrange/lick_room.hpp"
#include "fifthpeg/banjo.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::licks {

// What of it is put in.
struct LickTime {
  Fraction start;
  Fraction end;     // as arranging::LickExtent has them
  Fraction pickup;  // from its start to the first barline, where it begins before a whole measure; else 0
  bool lands = false;
  std::vector<Stroke> strokes;  // in that time, which they fill; onsets count from its start
};
// Throws UsageError "too-long-for-a-lick" and "no-notes".
LickTime lick_time(const Score& lick);

struct ReadLick {
  LickTime time;               // strokes with places and fingers
  Score score;                 // the same, and with chords
  std::optional<int> landing;  // as a MIDI number
  bool leads_on = false;       // says that another chord follows than its last, or lands
  bool can_move = false;  // has no open strings but the fifth, and so can be played elsewhere on the neck
  arranging::LickAsks asks;
};
// In this style, where it gives no picking fingers. Besides, UnplayableError where no hand plays it.
ReadLick read_lick(const Score& lick, Style style);

// Whether it gives index or middle as a picking finger, and so cannot be frailed.
bool is_picked(const Score& lick);

// Strokes of a score from one time to another, which no stroke lies over; onsets count from the first.
// Graces before what follows are not among them.
std::vector<Stroke> strokes_between(const std::vector<Measure>& measures, std::size_t first, Fraction start,
                                    Fraction end);

}  // namespace fifthpeg::licks
