// What stands over the staff: tempo, swing, words, dynamics, jumps and chord symbols.
#pragma once

#include <cstdint>

#include "fifthpeg/score.hpp"
#include "formats/musicxml/writer/xml_writer.hpp"

namespace fifthpeg::musicxml::writer {

// Where a thing is written, relative to where it belongs.
struct DirectionPlace {
  std::int64_t offset = 0;  // in divisions
  bool numbered = false;    // there are two staves, and this is the first
};

void write_tempo(const Tempo& tempo, DirectionPlace place, XmlWriter& xml, Report& report);
void write_direction(const Direction& direction, DirectionPlace place, XmlWriter& xml);
void write_chord_symbol(const ChordSymbol& chord, DirectionPlace place, XmlWriter& xml, Report& report);
// As a child of the measure; nothing where MusicXML cannot say it, see has_standard_unit().
void write_swing(const Swing& swing, XmlWriter& xml, Report& report);

}  // namespace fifthpeg::musicxml::writer
