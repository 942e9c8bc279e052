// What is printed for a note, and how long it lasts: the reader repairs where they differ, the check says so.
#pragma once

#include <optional>

#include "formats/musicxml/raw.hpp"

namespace fifthpeg::musicxml::reader {

// How long type, dots and tuplet of a note say that it lasts, where that is not its duration; nothing where
// both agree as far as whole divisions can say it, and for what is printed by rules of its own: a rest as
// long as its measure, the notes of a tremolo, cue and grace notes. `divisions` of a quarter note.
std::optional<Fraction> contradicting_value(const RawNote& note, const RawMeasure& measure,
                                            Fraction divisions);

}  // namespace fifthpeg::musicxml::reader
