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

// General MIDI level 1, counted from 1.
constexpr int general_midi_banjo = 106;
constexpr std::size_t percussion_channel = 10;
constexpr std::size_t most_channels = 15;  // without percussion's

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
class FieldWriter {
 public:
  explicit FieldWriter(XmlWriter& xml) : xml_(xml), within_(xml, "miscellaneous") {}

  void write(const Score& score, std::span<const Score> further, const MusicXmlOptions& options,
             Report& report) {
    write_banjo(score, {}, false);
    if (options.fifth_frets == FifthFrets::from_own_nut) add(field_fifth_frets, {}, own_nut);
    write_key(score, {}, false);
    if (score.swing && !has_standard_unit(*score.swing)) {
      const Swing& swing = *score.swing;
      add(field_swing, {},
          to_string(swing.unit) + " " + std::to_string(swing.first) + ":" + std::to_string(swing.second));
      report.add(
          EntryKind::decision, "musicxml-swing-unit",
          "MusicXML has swing for eighths and sixteenths only; this one is kept in a field of its own");
    }
    // What the first part says holds for the others, too, where they do not say theirs.
    const bool always = has_fields(score);
    for (std::size_t i = 0; i < further.size(); ++i) {
      const std::string of_part = "." + part_id(i + 2);
      write_banjo(further[i], of_part, always);
      write_key(further[i], of_part, always);
    }
  }

 private:
  static bool has_fields(const Score& score) {
    return score.banjo.fifth_capo != usual_fifth_capo(score.banjo.capo) ||
           score.banjo.frets != Banjo{}.frets || score.key_estimated;
  }
  void write_banjo(const Score& score, const std::string& of_part, bool always) {
    const Banjo& banjo = score.banjo;
    if (always || banjo.fifth_capo != usual_fifth_capo(banjo.capo)) {
      add(field_fifth_capo, of_part, std::to_string(banjo.fifth_capo));
      add(field_fifth_tuning, of_part, to_string(banjo.tuning.open(fifth_string)));
    }
    if (always || banjo.frets != Banjo{}.frets) add(field_frets, of_part, std::to_string(banjo.frets));
  }
  void write_key(const Score& score, const std::string& of_part, bool always) {
    if (always || score.key_estimated) add(field_key_estimated, of_part, score.key_estimated ? "yes" : "no");
  }
  void add(std::string_view name, const std::string& of_part, std::string_view value) {
    xml_.leaf("miscellaneous-field", value, {{"name", std::string(name) + of_part}});
  }

  XmlWriter& xml_;
  WithinIfAny within_;
};

void write_identification(const Score& score, std::span<const Score> further, const MusicXmlOptions& options,
                          XmlWriter& xml, Report& report) {
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
  FieldWriter(xml).write(score, further, options, report);
}

void write_score_part(const Score& score, std::size_t number, XmlWriter& xml) {
  const std::string id = part_id(number);
  const std::string instrument_id = id + "-I1";
  const Within part(xml, "score-part", {{"id", id}});
  xml.leaf("part-name", xml.text(score.part_name));
  {
    const Within instrument(xml, "score-instrument", {{"id", instrument_id}});
    xml.leaf("instrument-name", "Banjo");
    xml.leaf("instrument-sound", "pluck.banjo");
  }
  const Within sound(xml, "midi-instrument", {{"id", instrument_id}});
  if (number <= most_channels) xml.leaf("midi-channel", number < percussion_channel ? number : number + 1);
  xml.leaf("midi-program", general_midi_banjo);
}

}  // namespace

void write_head(const Score& score, std::span<const Score> further, const MusicXmlOptions& options,
                XmlWriter& xml, Report& report) {
  xml.declare(
      "DOCTYPE score-partwise PUBLIC \"-//Recordare//DTD MusicXML 4.0 Partwise//EN\" "
      "\"http://www.musicxml.org/dtds/partwise.dtd\"");
  xml.open("score-partwise", {{"version", "4.0"}});
  if (!score.work.title.empty()) {
    const Within work(xml, "work");
    xml.leaf("work-title", xml.text(score.work.title));
  }
  write_identification(score, further, options, xml, report);
  const Within list(xml, "part-list");
  write_score_part(score, 1, xml);
  for (std::size_t i = 0; i < further.size(); ++i) write_score_part(further[i], i + 2, xml);
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
