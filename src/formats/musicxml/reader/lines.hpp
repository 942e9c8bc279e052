// A staff or a voice of a part that has several: the right hand of a piano, the upper of two fiddles.
#pragma once

#include "fifthpeg/read.hpp"
#include "formats/musicxml/raw.hpp"

namespace fifthpeg::musicxml::reader {

// States the staves and voices that have notes.
void list_lines(const RawPart& part, Inventory& inventory);

// Takes out the notes of all other staves and voices than the options name, if they name any; what is said at
// the other staves goes with them. The measures keep their length. UsageError ("no-such-staff",
// "no-such-voice") where no note is left.
void keep_line(RawPart& part, const ReadOptions& options);

}  // namespace fifthpeg::musicxml::reader
