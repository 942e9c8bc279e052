// Step, alter and octave, under the names that each place of the standard has for them.
#pragma once

#include <algorithm>
#include <array>
#include <string_view>

#include "fifthpeg/pitch.hpp"
#include "formats/musicxml/writer/xml_writer.hpp"

namespace fifthpeg::musicxml::writer {

struct PitchNames {
  const char *step, *alter, *octave;
};
inline constexpr PitchNames note_names{"step", "alter", "octave"};
inline constexpr PitchNames tuning_names{"tuning-step", "tuning-alter", "tuning-octave"};
inline constexpr PitchNames root_names{"root-step", "root-alter", nullptr};
inline constexpr PitchNames bass_names{"bass-step", "bass-alter", nullptr};

inline std::string_view step_name(Step step) {
  constexpr std::string_view names = "CDEFGAB";
  return names.substr(static_cast<std::size_t>(step) % names.size(), 1);
}

inline void write_step(Step step, int alter, const PitchNames& names, XmlWriter& xml) {
  xml.leaf(names.step, step_name(step));
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
