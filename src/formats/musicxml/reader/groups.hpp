// What spans several notes of a voice: slurs and tuplets.
#pragma once

#include <vector>

#include "formats/musicxml/diagnostics.hpp"
#include "formats/musicxml/raw.hpp"

namespace fifthpeg::musicxml::reader {

// Turns slurs into Technique::slur out of and into each two neighboring strokes of the voice under them,
// unless a string technique joins the two already.
void connect_slurs(RawPart& part, Diagnostics& diagnostics);

// One level of a tuplet over a stretch of one measure.
struct TupletSpan {
  Fraction from;
  Fraction to;
  std::size_t level = 0;  // 0 is the outermost
  std::uint16_t voice = 0;
  Tuplet tuplet;  // `starts` and `stops` say whether the group begins and ends with the stretch
};

// The tuplets of each measure, those of one voice together. Notes that have a time-modification but no
// bracket are grouped: a group is full where its length is a plain note value again.
std::vector<std::vector<TupletSpan>> find_tuplets(const RawPart& part);

}  // namespace fifthpeg::musicxml::reader
