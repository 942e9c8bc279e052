// One lick on the banjo of one tune: how it is moved, and put into the tune's time.
#pragma once

#include <cstddef>
#include <vector>

#include "fifthpeg/banjo.hpp"
#include "fifthpeg/score.hpp"
#include "licks/read_lick.hpp"
#include "licks/seams.hpp"

namespace fifthpeg::licks {

// Throws UnplayableError "lick-for-other-tuning" unless the strings of both lie as far apart.
void require_same_strings(const Banjo& tune, const Banjo& lick);

// How far its notes sound from where they are written, with frets moved by so many.
int half_steps_for(const Banjo& tune, const Banjo& lick, int frets);
int frets_for(const Banjo& tune, const Banjo& lick, int half_steps);

// Its strokes on the tune's banjo. The open fifth string stays. Throws UnplayableError "lick-off-neck".
std::vector<Stroke> moved_strokes(std::vector<Stroke> strokes, const Banjo& from, const Score& tune,
                                  std::size_t measure, int half_steps);

// What of the tune the strokes cover. Throws UnplayableError "lick-over-end" and "lick-over-repeat", and
// "lick-in-one-ending" unless that is asked for.
Stretch stretch_of(const Score& tune, std::size_t measure, Fraction at, Fraction length, bool in_one_ending);

// Puts them there, without a look at the hands; of the tune's notes that last beyond them the last of them
// takes the time. Throws UnplayableError "lick-over-barline" and "tuplet-parted".
Score put_in(const Score& tune, const Stretch& stretch, std::vector<Stroke> strokes);

}  // namespace fifthpeg::licks
