// Which banjo a part was written for, and where its notes lie on it.
//
// Files are often wrong here: no tuning, a guitar's default tuning, pitches an octave up, frets of the short
// string counted either way. Pitch, string and fret together tell which it is.
#pragma once

#include "fifthpeg/score.hpp"
#include "formats/musicxml/diagnostics.hpp"
#include "formats/musicxml/head.hpp"
#include "formats/musicxml/raw.hpp"

namespace fifthpeg::musicxml::reader {

// Moves pitches that are an octave off, gives pitches to notes that have only a string and a fret, sets the
// placement of every note whose pitch agrees with it, and returns the banjo. What is repaired is reported.
Banjo settle_strings(RawPart& part, const Head& head, Diagnostics& diagnostics);

}  // namespace fifthpeg::musicxml::reader
