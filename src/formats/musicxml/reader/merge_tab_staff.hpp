// The same notes twice: on a notation and a tab staff, or in a notation and a tab part.
#pragma once

#include "formats/musicxml/diagnostics.hpp"
#include "formats/musicxml/raw.hpp"

namespace fifthpeg::musicxml::reader {

// Whether `other` has the notes of `part`, octaves aside, at the same places: at least nine in ten, each way.
bool is_copy(const RawPart& part, const RawPart& other);

// Adds the notes of `other` as further staves of `part`.
void add_as_staves(RawPart& part, RawPart&& other);

// Where a tab staff repeats a notation staff, gives strings, frets, fingers and techniques of its notes to
// those of the notation and takes them out; where the two disagree about a string, the tab is right.
void join_copies(RawPart& part, Diagnostics& diagnostics);

}  // namespace fifthpeg::musicxml::reader
