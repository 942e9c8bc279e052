// Several voices become one line of strokes.
//
// A new stroke begins wherever a note is struck; one that lasts beyond the next stroke rings on
// (Ring::let_ring). What sounds in no voice is a rest.
#pragma once

#include "fifthpeg/score.hpp"
#include "formats/musicxml/diagnostics.hpp"
#include "formats/musicxml/raw.hpp"

namespace fifthpeg::musicxml::reader {

// Moves the measures of `part` into the score, with their strokes. A measure is as long as its notes, rests
// and forwards reach; a whole-measure rest, or nothing at all, fills the meter.
void make_strokes(RawPart& part, Score& score, Diagnostics& diagnostics);

}  // namespace fifthpeg::musicxml::reader
