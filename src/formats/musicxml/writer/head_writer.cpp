#include "formats/musicxml/writer/head_writer.hpp"

#include <algorithm>
#include <chrono>
#include <string>

#include "fifthpeg/errors.hpp"
#include "formats/musicxml/conventions.hpp"
#include "formats/musicxml/writer/value_writer.hpp"
#include "version.hpp"

namespace fifthpeg::musicxml::writer {
namespace {

constexpr int general_midi_banjo = 106;  // General MIDI level 1, counted from 1

// "2026-01-31", in the proleptic Gregorian calendar as xs:date has it.
bool is_date(const std::string& text) {
  const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
  if (text.size() != 10 || text[4] != '-' || text[7] != '-' ||
      std::count_if(text.begin(), text.end(), is_digit) != 8)
    return false;
  const int year = std::stoi(text);
  const std::chrono::month month(static_cast<unsigned>(std::stoi(text.substr(5))));
  const std::chrono::day day(static_cast<unsigned>(std::stoi(text.substr(8))));
  return year > 0 && (std::chrono::year(year) / month / day).ok();
}

void write_creator(std::string_view type, const std::string& name, XmlWriter& xml) {
  if (!name.empty()) xml.leaf("creator", xml.text(name), {{"type", type}});
}

// What MusicXML has no element for; see conventions.hpp.
void write_fields(const Score& score, const MusicXmlOptions& options, XmlWriter& xml, Report& report) {
  const WithinIfAny miscellaneous(xml, "miscellaneous");
  const auto add = [&xml](std::string_view name, std::string_view value) {
    xml.leaf("miscellaneous-field", value, {{"name", name}});
  };
  const Banjo& banjo = score.banjo;
  if (banjo.fifth_capo != usual_fifth_capo(banjo.capo)) {
    add(field_fifth_capo, std::to_string(banjo.fifth_capo));
    add(field_fifth_tuning, to_string(banjo.tuning.open(fifth_string)));
  }
  if (banjo.frets != Banjo{}.frets) add(field_frets, std::to_string(banjo.frets));
  if (options.fifth_frets == FifthFrets::from_own_nut) add(field_fifth_frets, own_nut);
  if (score.key_estimated) add(field_key_estimated, "yes");
  if (score.swing && !has_standard_unit(*score.swing)) {
    const Swing& swing = *score.swing;
    add(field_swing,
        to_string(swing.unit) + " " + std::to_string(swing.first) + ":" + std::to_string(swing.second));
    report.add(EntryKind::decision, "musicxml-swing-unit",
               "MusicXML has swing for eighths and sixteenths only; this one is kept in a field of its own");
  }
}

void write_identification(const Score& score, const MusicXmlOptions& options, XmlWriter& xml,
                          Report& report) {
  const Work& work = score.work;
  const Within identification(xml, "identification");
  write_creator("composer", work.composer, xml);
  write_creator("arranger", work.arranger, xml);
  write_creator("lyricist", work.lyricist, xml);
  if (!work.rights.empty()) xml.leaf("rights", xml.text(work.rights));
  {
    const Within encoding(xml, "encoding");
    xml.leaf("software", std::string("fifthpeg ") + version_text);
    if (!options.encoding_date.empty()) {
      if (!is_date(options.encoding_date)) throw UsageError("encoding date is not a date such as 2026-01-31");
      xml.leaf("encoding-date", options.encoding_date);
    }
    for (const char* const element : {"accidental", "beam"})
      xml.empty("supports", {{"element", element}, {"type", "yes"}});
  }
  if (!work.source.empty()) xml.leaf("source", xml.text(work.source));
  write_fields(score, options, xml, report);
}

void write_part_list(const Score& score, XmlWriter& xml) {
  const Within list(xml, "part-list");
  const Within part(xml, "score-part", {{"id", "P1"}});
  xml.leaf("part-name", xml.text(score.part_name));
  {
    const Within instrument(xml, "score-instrument", {{"id", "P1-I1"}});
    xml.leaf("instrument-name", "Banjo");
    xml.leaf("instrument-sound", "pluck.banjo");
  }
  const Within sound(xml, "midi-instrument", {{"id", "P1-I1"}});
  xml.leaf("midi-channel", 1);
  xml.leaf("midi-program", general_midi_banjo);
}

}  // namespace

void write_head(const Score& score, const MusicXmlOptions& options, XmlWriter& xml, Report& report) {
  xml.declare(
      "DOCTYPE score-partwise PUBLIC \"-//Recordare//DTD MusicXML 4.0 Partwise//EN\" "
      "\"http://www.musicxml.org/dtds/partwise.dtd\"");
  xml.open("score-partwise", {{"version", "4.0"}});
  if (!score.work.title.empty()) {
    const Within work(xml, "work");
    xml.leaf("work-title", xml.text(score.work.title));
  }
  write_identification(score, options, xml, report);
  write_part_list(score, xml);
}

void write_staff_details(const Banjo& banjo, bool tab, int number, XmlWriter& xml, Report& report) {
  const Within details(xml, "staff-details");
  if (number != 0) xml.attribute("number", number);
  if (tab) xml.leaf("staff-lines", string_count);
  for (int line = 1; line <= string_count; ++line) {
    const int string = string_count + 1 - line;
    Pitch pitch = banjo.tuning.open(string);
    const int moved = banjo.fifth_capo - usual_fifth_capo(banjo.capo);
    if (string == fifth_string && moved != 0) pitch = spell(pitch.midi() + moved, Key{});
    const Within line_tuning(xml, "staff-tuning", {{"line", line}});
    write_pitch(pitch, tuning_names, xml, report);
  }
  if (banjo.capo > 0) xml.leaf("capo", banjo.capo);
}

bool has_standard_unit(const Swing& swing) {
  return swing.unit == Fraction(1, 8) || swing.unit == Fraction(1, 16);
}

}  // namespace fifthpeg::musicxml::writer
