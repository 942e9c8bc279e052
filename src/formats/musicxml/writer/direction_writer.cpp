#include "formats/musicxml/writer/direction_writer.hpp"

#include <algorithm>
#include <array>
#include <string>

#include "formats/musicxml/conventions.hpp"
#include "formats/musicxml/decimal.hpp"
#include "formats/musicxml/writer/head_writer.hpp"
#include "formats/musicxml/writer/note_value_writer.hpp"
#include "formats/musicxml/writer/pitch_writer.hpp"

namespace fifthpeg::musicxml::writer {
namespace {

// Children of `dynamics` and values of kind-value in the MusicXML 4.0 schema.
constexpr std::array<std::string_view, 26> dynamics_names{
    "p",  "pp", "ppp", "pppp", "ppppp", "pppppp", "f",   "ff",  "fff",  "ffff", "fffff", "ffffff", "mp",
    "mf", "sf", "sfp", "sfpp", "fp",    "rf",     "rfz", "sfz", "sffz", "fz",   "n",     "pf",     "sfzp"};

template <std::size_t N>
bool contains(const std::array<std::string_view, N>& names, std::string_view name) {
  return std::find(names.begin(), names.end(), name) != names.end();
}

void open_direction(bool above, XmlWriter& xml) {
  xml.open("direction");
  xml.attribute("placement", above ? "above" : "below");
}

// What follows the direction-types. `sounds`: a sound element comes behind it and has the same place.
void write_place(DirectionPlace place, bool sounds, XmlWriter& xml) {
  if (place.offset != 0) {
    xml.open("offset");
    if (sounds) xml.attribute("sound", "yes");
    xml.content(place.offset);
    xml.close();
  }
  if (place.numbered) xml.leaf("staff", 1);
}

void write_words(std::string_view words, XmlWriter& xml) {
  xml.open("direction-type");
  xml.text_leaf("words", words);
  xml.close();
}

// The beat unit in value units, 0 where note values do not add up to it.
std::int64_t beat_units(Fraction unit) {
  const std::int64_t units = engraving::units_in(unit);
  std::int64_t left = units;
  while (left > 0) {
    const engraving::NoteValue value = engraving::longest_value_in(left);
    if (!value) return 0;
    left -= engraving::length_in_units(value);
  }
  return units;
}

void write_metronome(const Tempo& tempo, XmlWriter& xml, Report& report) {
  std::int64_t left = beat_units(tempo.beat_unit);
  Fraction unit = tempo.beat_unit;
  if (left == 0) {
    report.add(EntryKind::loss, "musicxml-beat-unit",
               "a tempo counts in something that is no note value; it is written in quarters");
    unit = {1, 4};
    left = engraving::value_units / 4;
  }
  xml.open("direction-type");
  xml.open("metronome");
  if (!tempo.shown) xml.attribute("print-object", "no");
  for (bool tied = false; left > 0; tied = true) {
    const engraving::NoteValue value = engraving::longest_value_in(left);
    left -= engraving::length_in_units(value);
    if (tied) xml.open("beat-unit-tied");
    write_note_value(value, "beat-unit", "beat-unit-dot", xml);
    if (tied) xml.close();
  }
  xml.leaf("per-minute", short_decimal(tempo.quarters_per_minute / (unit * 4), 2));
  xml.close();
  xml.close();
}

struct Jump {
  const char* attribute;  // of sound
  std::string_view value;
  UsualWord usual;
};

Jump jump_of(Direction::Kind kind) {
  switch (kind) {
    case Direction::Kind::to_coda:
      return {"tocoda", coda_token, usual_to_coda};
    case Direction::Kind::da_capo:
      return {"dacapo", "yes", usual_da_capo};
    case Direction::Kind::dal_segno:
      return {"dalsegno", segno_token, usual_dal_segno};
    default:
      return {"fine", "yes", usual_fine};
  }
}

void write_sound(const char* attribute, std::string_view value, XmlWriter& xml) {
  xml.empty("sound", attribute, value);
}

void write_dynamics(const Direction& direction, DirectionPlace place, XmlWriter& xml) {
  open_direction(false, xml);
  xml.open("direction-type");
  xml.open("dynamics");
  if (contains(dynamics_names, direction.text)) {
    xml.empty(direction.text.c_str());
  } else {
    xml.text_leaf("other-dynamics", direction.text);
  }
  xml.close();
  xml.close();
  write_place(place, false, xml);
  xml.close();
}

void write_sign(const Direction& direction, DirectionPlace place, XmlWriter& xml) {
  const bool segno = direction.kind == Direction::Kind::segno;
  open_direction(true, xml);
  xml.open("direction-type");
  xml.empty(segno ? "segno" : "coda");
  xml.close();
  if (!direction.text.empty()) write_words(direction.text, xml);
  write_place(place, true, xml);
  write_sound(segno ? "segno" : "coda", segno ? segno_token : coda_token, xml);
  xml.close();
}

void write_jump(const Direction& direction, DirectionPlace place, XmlWriter& xml) {
  const Jump jump = jump_of(direction.kind);
  open_direction(true, xml);
  if (direction.text.empty()) {
    xml.open("direction-type");
    xml.open("words");
    xml.attribute("xml:lang", jump.usual.language);
    xml.content(jump.usual.text);
    xml.close();
    xml.close();
  } else {
    write_words(direction.text, xml);
  }
  write_place(place, true, xml);
  write_sound(jump.attribute, jump.value, xml);
  xml.close();
}

std::string_view degree_type(ChordDegree::Kind kind) {
  switch (kind) {
    case ChordDegree::Kind::alter:
      return "alter";
    case ChordDegree::Kind::subtract:
      return "subtract";
    default:
      return "add";
  }
}

void write_degree(const ChordDegree& degree, XmlWriter& xml, Report& report) {
  if (degree.value < 1) {
    report.add(EntryKind::loss, "musicxml-chord-degree", "a chord symbol's degree below 1 was left out");
    return;
  }
  xml.open("degree");
  xml.leaf("degree-value", degree.value);
  xml.leaf("degree-alter", degree.alter);
  xml.leaf("degree-type", degree_type(degree.kind));
  xml.close();
}

}  // namespace

void write_tempo(const Tempo& tempo, DirectionPlace place, XmlWriter& xml, Report& report) {
  if (tempo.quarters_per_minute < 0) {
    report.add(EntryKind::loss, "musicxml-tempo", "a tempo below 0 was left out");
    return;
  }
  const std::string exact = recoverable_decimal(tempo.quarters_per_minute);
  if (fraction_of_decimal(exact) != tempo.quarters_per_minute) {
    report.add(EntryKind::loss, "musicxml-tempo-rounded", "a tempo has more digits than can be written");
  }
  if (!tempo.shown && tempo.words.empty() && tempo.beat_unit == Fraction(1, 4)) {
    xml.open("sound");
    xml.attribute("tempo", exact);
    if (place.offset != 0) xml.leaf("offset", place.offset);
    xml.close();
    return;
  }
  open_direction(true, xml);
  if (!tempo.words.empty()) write_words(tempo.words, xml);
  write_metronome(tempo, xml, report);
  write_place(place, true, xml);
  write_sound("tempo", exact, xml);
  xml.close();
}

void write_direction(const Direction& direction, DirectionPlace place, XmlWriter& xml) {
  switch (direction.kind) {
    case Direction::Kind::words:
      open_direction(true, xml);
      write_words(direction.text, xml);
      break;
    case Direction::Kind::rehearsal:
      open_direction(true, xml);
      xml.open("direction-type");
      xml.text_leaf("rehearsal", direction.text);
      xml.close();
      break;
    case Direction::Kind::dynamics:
      return write_dynamics(direction, place, xml);
    case Direction::Kind::segno:
    case Direction::Kind::coda:
      return write_sign(direction, place, xml);
    default:
      return write_jump(direction, place, xml);
  }
  write_place(place, false, xml);
  xml.close();
}

void write_chord_symbol(const ChordSymbol& chord, DirectionPlace place, XmlWriter& xml, Report& report) {
  const bool known = is_chord_kind(chord.kind);
  if (!known) {
    report.add(EntryKind::loss, "musicxml-chord-kind",
               "a chord symbol of a kind that MusicXML does not have was written as `other`");
  }
  xml.open("harmony");
  xml.attribute("placement", "above");
  xml.open("root");
  write_step(chord.root.step, chord.root.alter, root_names, xml);
  xml.close();
  xml.open("kind");
  const std::string& text = chord.text.empty() && !known ? chord.kind : chord.text;
  if (!text.empty()) xml.text_attribute("text", text);
  xml.content(known ? std::string_view(chord.kind) : std::string_view("other"));
  xml.close();
  if (chord.bass) {
    xml.open("bass");
    write_step(chord.bass->step, chord.bass->alter, bass_names, xml);
    xml.close();
  }
  for (const ChordDegree& degree : chord.degrees) write_degree(degree, xml, report);
  write_place(place, false, xml);
  xml.close();
}

void write_swing(const Swing& swing, XmlWriter& xml, Report& report) {
  if (!has_standard_unit(swing)) return;
  if (swing.first < 1 || swing.second < 1) {
    report.add(EntryKind::loss, "musicxml-swing", "a swing of less than one part was left out");
    return;
  }
  xml.open("sound");
  xml.open("swing");
  xml.leaf("first", swing.first);
  xml.leaf("second", swing.second);
  xml.leaf("swing-type", engraving::type_name(engraving::single_value(engraving::units_in(swing.unit)).type));
  xml.close();
  xml.close();
}

}  // namespace fifthpeg::musicxml::writer
