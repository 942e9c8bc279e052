// Pitches and note values, under the names that each place of the standard has for their parts.
#pragma once

#include <algorithm>

#include "engraving/note_value.hpp"
#include "fifthpeg/pitch.hpp"
#include "formats/musicxml/names.hpp"
#include "formats/musicxml/writer/xml_writer.hpp"

namespace fifthpeg::musicxml::writer {

inline void write_note_value(engraving::NoteValue value, const char* type, const char* dot, XmlWriter& xml) {
  xml.leaf(type, engraving::type_name(value.type));
  for (int i = 0; i < value.dots; ++i) xml.empty(dot);
}

struct PitchNames {
  const char *step, *alter, *octave;
};
inline constexpr PitchNames note_names{"step", "alter", "octave"};
inline constexpr PitchNames tuning_names{"tuning-step", "tuning-alter", "tuning-octave"};
inline constexpr PitchNames root_names{"root-step", "root-alter", nullptr};
inline constexpr PitchNames bass_names{"bass-step", "bass-alter", nullptr};

inline void write_step(Step step, int alter, const PitchNames& names, XmlWriter& xml) {
  xml.leaf(names.step, name_of(step, step_names));
  if (alter != 0) xml.leaf(names.alter, alter);
}

// The schema has octaves 0 to 9 only; what lies outside is moved there, and reported.
inline void write_pitch(const Pitch& pitch, const PitchNames& names, XmlWriter& xml, Report& report) {
  write_step(pitch.step, pitch.alter, names, xml);
  const int octave = std::clamp<int>(pitch.octave, 0, 9);
  if (octave != pitch.octave) {
    report.add(EntryKind::loss, "musicxml-octave",
               "a pitch outside the octaves of MusicXML was moved into the nearest of them");
  }
  xml.leaf(names.octave, octave);
}

}  // namespace fifthpeg::musicxml::writer
