#include "formats/musicxml/writer/head_writer.hpp"

#include <algorithm>
#include <array>
#include <string>

#include "fifthpeg/errors.hpp"
#include "formats/musicxml/conventions.hpp"
#include "formats/musicxml/writer/pitch_writer.hpp"
#include "version.hpp"

namespace fifthpeg::musicxml::writer {
namespace {

constexpr int general_midi_banjo = 106;  // General MIDI level 1, counted from 1

// "2026-01-31", in the proleptic Gregorian calendar as xs:date has it.
bool is_date(std::string_view text) {
  if (text.size() != 10 || text[4] != '-' || text[7] != '-') return false;
  std::array<int, 3> parts{};
  constexpr std::array<std::size_t, 3> starts{0, 5, 8};
  constexpr std::array<std::size_t, 3> lengths{4, 2, 2};
  for (std::size_t part = 0; part < parts.size(); ++part) {
    for (const char c : text.substr(starts[part], lengths[part])) {
      if (c < '0' || c > '9') return false;
      parts[part] = parts[part] * 10 + (c - '0');
    }
  }
  const auto [year, month, day] = parts;
  if (year < 1 || month < 1 || month > 12 || day < 1) return false;
  constexpr std::array<int, 12> days{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  const bool leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
  return day <= days[static_cast<std::size_t>(month - 1)] + (leap && month == 2 ? 1 : 0);
}

void write_creator(std::string_view type, const std::string& name, XmlWriter& xml) {
  if (name.empty()) return;
  xml.open("creator");
  xml.attribute("type", type);
  xml.text(name);
  xml.close();
}

void write_supports(std::string_view element, XmlWriter& xml) {
  xml.open("supports");
  xml.attribute("element", element);
  xml.attribute("type", "yes");
  xml.close();
}

// What MusicXML has no element for; see conventions.hpp.
class Fields {
 public:
  explicit Fields(XmlWriter& xml) : xml_(xml) {}
  ~Fields() {
    if (open_) xml_.close();
  }
  Fields(const Fields&) = delete;
  Fields& operator=(const Fields&) = delete;

  void add(std::string_view name, std::string_view value) {
    if (!open_) xml_.open("miscellaneous");
    open_ = true;
    xml_.open("miscellaneous-field");
    xml_.attribute("name", name);
    xml_.content(value);
    xml_.close();
  }

 private:
  XmlWriter& xml_;
  bool open_ = false;
};

void write_fields(const Score& score, const MusicXmlOptions& options, XmlWriter& xml, Report& report) {
  Fields fields(xml);
  const Banjo& banjo = score.banjo;
  if (banjo.fifth_capo != usual_fifth_capo(banjo.capo)) {
    fields.add(field_fifth_capo, std::to_string(banjo.fifth_capo));
    fields.add(field_fifth_tuning, to_string(banjo.tuning.open(fifth_string)));
  }
  if (banjo.frets != Banjo{}.frets) fields.add(field_frets, std::to_string(banjo.frets));
  if (options.fifth_frets == FifthFrets::from_own_nut) fields.add(field_fifth_frets, own_nut);
  if (score.key_estimated) fields.add(field_key_estimated, "yes");
  if (score.swing && !has_standard_unit(*score.swing)) {
    const Swing& swing = *score.swing;
    fields.add(field_swing, to_string(swing.unit) + " " + std::to_string(swing.first) + ":" +
                                std::to_string(swing.second));
    report.add(EntryKind::decision, "musicxml-swing-unit",
               "MusicXML has swing for eighths and sixteenths only; this one is kept in a field of its own");
  }
}

void write_identification(const Score& score, const MusicXmlOptions& options, XmlWriter& xml,
                          Report& report) {
  const Work& work = score.work;
  xml.open("identification");
  write_creator("composer", work.composer, xml);
  write_creator("arranger", work.arranger, xml);
  write_creator("lyricist", work.lyricist, xml);
  if (!work.rights.empty()) xml.text_leaf("rights", work.rights);
  xml.open("encoding");
  xml.leaf("software", std::string("fifthpeg ") + version_text);
  if (!options.encoding_date.empty()) {
    if (!is_date(options.encoding_date)) {
      throw UsageError("encoding date is not a date such as 2026-01-31");
    }
    xml.leaf("encoding-date", options.encoding_date);
  }
  write_supports("accidental", xml);
  write_supports("beam", xml);
  xml.close();
  if (!work.source.empty()) xml.text_leaf("source", work.source);
  write_fields(score, options, xml, report);
  xml.close();
}

void write_part_list(const Score& score, XmlWriter& xml) {
  xml.open("part-list");
  xml.open("score-part");
  xml.attribute("id", "P1");
  xml.text_leaf("part-name", score.part_name);
  xml.open("score-instrument");
  xml.attribute("id", "P1-I1");
  xml.leaf("instrument-name", "Banjo");
  xml.leaf("instrument-sound", "pluck.banjo");
  xml.close();
  xml.open("midi-instrument");
  xml.attribute("id", "P1-I1");
  xml.leaf("midi-channel", 1);
  xml.leaf("midi-program", general_midi_banjo);
  xml.close();
  xml.close();
  xml.close();
}

}  // namespace

void write_head(const Score& score, const MusicXmlOptions& options, XmlWriter& xml, Report& report) {
  xml.declare(
      "DOCTYPE score-partwise PUBLIC \"-//Recordare//DTD MusicXML 4.0 Partwise//EN\" "
      "\"http://www.musicxml.org/dtds/partwise.dtd\"");
  xml.open("score-partwise");
  xml.attribute("version", "4.0");
  if (!score.work.title.empty()) {
    xml.open("work");
    xml.text_leaf("work-title", score.work.title);
    xml.close();
  }
  write_identification(score, options, xml, report);
  write_part_list(score, xml);
}

void write_staff_details(const Banjo& banjo, bool tab, int number, XmlWriter& xml, Report& report) {
  xml.open("staff-details");
  if (number != 0) xml.attribute("number", number);
  if (tab) xml.leaf("staff-lines", string_count);
  for (int line = 1; line <= string_count; ++line) {
    const int string = string_count + 1 - line;
    Pitch pitch = banjo.tuning.open(string);
    const int moved = banjo.fifth_capo - usual_fifth_capo(banjo.capo);
    if (string == fifth_string && moved != 0) pitch = spell(pitch.midi() + moved, Key{});
    xml.open("staff-tuning");
    xml.attribute("line", line);
    write_pitch(pitch, tuning_names, xml, report);
    xml.close();
  }
  if (banjo.capo > 0) xml.leaf("capo", banjo.capo);
  xml.close();
}

bool has_standard_unit(const Swing& swing) {
  return swing.unit == Fraction(1, 8) || swing.unit == Fraction(1, 16);
}

}  // namespace fifthpeg::musicxml::writer
