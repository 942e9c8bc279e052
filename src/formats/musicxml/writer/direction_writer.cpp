#include "formats/musicxml/writer/direction_writer.hpp"

#include <algorithm>
#include <array>
#include <string>

#include "formats/musicxml/conventions.hpp"
#include "formats/musicxml/decimal.hpp"
#include "formats/musicxml/names.hpp"
#include "formats/musicxml/writer/head_writer.hpp"
#include "formats/musicxml/writer/value_writer.hpp"

namespace fifthpeg::musicxml::writer {
namespace {

// Children of `dynamics` and values of kind-value in the MusicXML 4.0 schema.
constexpr Names<26> dynamics_names{"p",    "pp",    "ppp",    "pppp", "ppppp", "pppppp", "f",   "ff",   "fff",
                                   "ffff", "fffff", "ffffff", "mp",   "mf",    "sf",     "sfp", "sfpp", "fp",
                                   "rf",   "rfz",   "sfz",    "sffz", "fz",    "n",      "pf",  "sfzp"};

// What follows the direction-types. `sounds`: a sound element comes behind it and has the same place.
void write_place(DirectionPlace place, bool sounds, XmlWriter& xml) {
  if (place.offset != 0 && sounds) {
    xml.leaf("offset", place.offset, {{"sound", "yes"}});
  } else if (place.offset != 0) {
    xml.leaf("offset", place.offset);
  }
  if (place.numbered) xml.leaf("staff", 1);
}

void write_type(const char* name, std::string_view content, XmlWriter& xml, XmlAttributes attributes = {}) {
  const Within type(xml, "direction-type");
  xml.leaf(name, content, attributes);
}

void write_words(std::string_view words, XmlWriter& xml) {
  write_type("words", xml.text(words), xml);
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
  const Within type(xml, "direction-type");
  const Within metronome(xml, "metronome");
  if (!tempo.shown) xml.attribute("print-object", "no");
  for (bool tied = false; left > 0; tied = true) {
    const engraving::NoteValue value = engraving::longest_value_in(left);
    left -= engraving::length_in_units(value);
    if (tied) xml.open("beat-unit-tied");
    write_note_value(value, "beat-unit", "beat-unit-dot", xml);
    if (tied) xml.close();
  }
  xml.leaf("per-minute", short_decimal(tempo.quarters_per_minute / (unit * 4), 2));
}

void write_dynamics(std::string_view text, XmlWriter& xml) {
  const Within type(xml, "direction-type");
  const Within dynamics(xml, "dynamics");
  const auto* const known = std::find(dynamics_names.begin(), dynamics_names.end(), text);
  if (known != dynamics_names.end()) {
    xml.empty(known->data());
  } else {
    xml.leaf("other-dynamics", xml.text(text));
  }
}

void write_degree(const ChordDegree& degree, XmlWriter& xml, Report& report) {
  if (degree.value < 1) {
    report.add(EntryKind::loss, "musicxml-chord-degree", "a chord symbol's degree below 1 was left out");
    return;
  }
  const Within element(xml, "degree");
  xml.leaf("degree-value", degree.value);
  xml.leaf("degree-alter", degree.alter);
  xml.leaf("degree-type", name_of(degree.kind, degree_type_names));
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
    const Within sound(xml, "sound", {{"tempo", exact}});
    if (place.offset != 0) xml.leaf("offset", place.offset);
    return;
  }
  const Within direction(xml, "direction", {{"placement", "above"}});
  if (!tempo.words.empty()) write_words(tempo.words, xml);
  write_metronome(tempo, xml, report);
  write_place(place, true, xml);
  xml.empty("sound", {{"tempo", exact}});
}

void write_direction(const Direction& direction, DirectionPlace place, XmlWriter& xml) {
  const bool dynamics = direction.kind == Direction::Kind::dynamics;
  const Within element(xml, "direction", {{"placement", dynamics ? "below" : "above"}});
  const auto* const sound =
      std::find_if(jumps.begin(), jumps.end(), [&](const Jump& one) { return one.kind == direction.kind; });
  const bool sounds = sound != jumps.end();
  const bool sign = direction.kind == Direction::Kind::segno || direction.kind == Direction::Kind::coda;
  if (dynamics) {
    write_dynamics(direction.text, xml);
  } else if (direction.kind == Direction::Kind::rehearsal) {
    write_type("rehearsal", xml.text(direction.text), xml);
  } else {
    if (sign) write_type(sound->attribute, {}, xml);
    if (sounds && !sign && direction.text.empty()) {
      write_type("words", sound->usual.text, xml, {{"xml:lang", sound->usual.language}});
    } else if (!sign || !direction.text.empty()) {
      write_words(direction.text, xml);
    }
  }
  write_place(place, sounds, xml);
  if (sounds) xml.empty("sound", {{sound->attribute, sound->value}});
}

void write_chord_symbol(const ChordSymbol& chord, DirectionPlace place, XmlWriter& xml, Report& report) {
  const bool known = is_chord_kind(chord.kind);
  if (!known) {
    report.add(EntryKind::loss, "musicxml-chord-kind",
               "a chord symbol of a kind that MusicXML does not have was written as `other`");
  }
  const Within harmony(xml, "harmony", {{"placement", "above"}});
  {
    const Within root(xml, "root");
    write_step(chord.root.step, chord.root.alter, root_names, xml);
  }
  const std::string& text = chord.text.empty() && !known ? chord.kind : chord.text;
  const std::string_view kind = known ? std::string_view(chord.kind) : "other";
  if (text.empty()) {
    xml.leaf("kind", kind);
  } else {
    xml.leaf("kind", kind, {{"text", xml.attribute_text(text)}});
  }
  if (chord.bass) {
    const Within bass(xml, "bass");
    write_step(chord.bass->step, chord.bass->alter, bass_names, xml);
  }
  for (const ChordDegree& degree : chord.degrees) write_degree(degree, xml, report);
  write_place(place, false, xml);
}

void write_swing(const Swing& swing, XmlWriter& xml, Report& report) {
  if (!has_standard_unit(swing)) return;
  if (swing.first < 1 || swing.second < 1) {
    report.add(EntryKind::loss, "musicxml-swing", "a swing of less than one part was left out");
    return;
  }
  const Within sound(xml, "sound");
  const Within element(xml, "swing");
  xml.leaf("first", swing.first);
  xml.leaf("second", swing.second);
  xml.leaf("swing-type", engraving::type_name(engraving::single_value(engraving::units_in(swing.unit)).type));
}

}  // namespace fifthpeg::musicxml::writer
