// Which note values stand for each stroke: single ones where the meter stays in sight, several tied ones
// otherwise.
//
// Rules (common practice; E. Gould, Behind Bars, London 2011, on ties and on rests, from memory):
// - The middle of a measure of four beats is shown: no note is written across it unless it begins with the
//   measure. Groups of other meters (the dotted beats of 6/8, 3+2) are shown unless a note begins and ends
//   with groups.
// - Within two beats, or a half of any beat, a note may begin at the start or end at the end of the pair,
//   or be syncopated around its middle by halves (eighth quarter eighth), down to halves of each.
// - Rests never hide a beat: no dotted rests in simple meters longer than a beat, none across the middle; in
//   compound meters a beat is a dotted rest, and its first two thirds are one rest.
// - A rest that fills the meter is a whole-measure rest.
// - A single value that the source has stays one (Stroke::unparted).
// - In tuplets a stroke is parted only if its printed value is no single one.
#pragma once

#include "engraving/beat_groups.hpp"
#include "engraving/engraving.hpp"
#include "engraving/grid.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::engraving {

// Replaces the pieces with those of the measure, without beams.
void split_strokes(const Measure& measure, const Grid& grid, const BeatMap& beats, Engraving& engraving);

}  // namespace fifthpeg::engraving
