// A note value, under the names that each place of the standard has for its type and its dots.
#pragma once

#include "engraving/note_value.hpp"
#include "formats/musicxml/writer/xml_writer.hpp"

namespace fifthpeg::musicxml::writer {

inline void write_note_value(engraving::NoteValue value, const char* type, const char* dot, XmlWriter& xml) {
  xml.leaf(type, engraving::type_name(value.type));
  for (int i = 0; i < value.dots; ++i) xml.empty(dot);
}

}  // namespace fifthpeg::musicxml::writer
