// Which notes are beamed together.
//
// Rules (common practice; E. Gould, Behind Bars, London 2011, on beaming, from memory):
// - Beams show the beats. Eighths alone are beamed over half a measure of 4/4, over the whole of 2/4 and 3/4
//   and over half notes in 2/2, as far as a run of them begins and ends with a beat; where anything shorter
//   is among them, over single beats. In compound and additive meters beams go over the groups.
// - Rests, quarters and longer notes end a beam, and so do the ends of a tuplet.
// - Where there are 32nds or shorter ones, all beams but the first are parted every eighth.
// - A short beam of one note points to the note with which it makes up the next larger value.
// - Grace notes have beams of their own.
#pragma once

#include "engraving/beat_groups.hpp"
#include "engraving/engraving.hpp"
#include "engraving/grid.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::engraving {

void beam_pieces(const Measure& measure, const Grid& grid, const BeatMap& beats, Engraving& engraving);

}  // namespace fifthpeg::engraving
