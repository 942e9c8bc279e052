#include "formats/musicxml/writer/part_writer.hpp"

#include <algorithm>
#include <string>

#include "engraving/beam.hpp"
#include "engraving/stroke_splitter.hpp"
#include "engraving/tuplets.hpp"
#include "fifthpeg/errors.hpp"
#include "formats/musicxml/names.hpp"
#include "formats/musicxml/writer/direction_writer.hpp"
#include "formats/musicxml/writer/head_writer.hpp"

namespace fifthpeg::musicxml::writer {

PartWriter::PartWriter(const Score& score, const MusicXmlOptions& options, XmlWriter& xml, Report& report)
    : score_(score),
      options_(options),
      report_(report),
      xml_(xml),
      notes_(score.banjo, options, xml_, report) {
  const std::int64_t divisions = engraving::divisions_for(score);
  common_divisions_ = divisions != 0;
  if (common_divisions_) grid_ = engraving::Grid(divisions);
}

void PartWriter::write(const std::string& id) {
  xml_.open("part", {{"id", id}});
  for (const Measure& measure : score_.measures) {
    xml_.set_measure(&measure.number);
    try {
      write_measure(measure);
    } catch (const WriteError& error) {
      Place place;
      place.measure = measure.number;
      throw WriteError(error.what(), place);
    }
    xml_.flush();
  }
  if (score_.measures.empty()) {
    Measure nothing;
    nothing.number.assign(1, '0');
    nothing.implicit = true;
    write_measure(nothing);
  }
  xml_.close();
  xml_.flush();
}

void PartWriter::write_measure(const Measure& measure) {
  if (!common_divisions_) grid_ = engraving::grid_for(measure);
  beats_ = engraving::beat_map(measure, grid_);
  engraving::split_strokes(measure, grid_, beats_, engraving_);
  engraving::beam_pieces(measure, grid_, beats_, engraving_);
  engraving::group_tuplets(measure, grid_, engraving_);
  report_values(measure);

  const bool first = meter_ == nullptr;
  const Within element(xml_, "measure", {{"number", xml_.attribute_text(measure.number)}});
  if (measure.implicit) xml_.attribute("implicit", "yes");
  write_left_barline(measure);
  write_attributes(measure);
  if (first && score_.swing) write_swing(*score_.swing, xml_, report_);
  const bool both = options_.staves == Staves::both;
  const bool tab_only = options_.staves == Staves::tab;
  write_staff(measure, {both ? 1 : 0, 1, true, !tab_only, !both});
  if (both && !engraving_.pieces.empty()) {
    const engraving::Piece& last = engraving_.pieces.back();
    const std::int64_t length = grid_.in_divisions(last.onset + last.duration);
    if (length > 0) {
      const Within backup(xml_, "backup");
      xml_.leaf("duration", length);
    }
    write_staff(measure, {2, 5, false, false, true});
  }
  write_right_barline(measure);
}

void PartWriter::write_left_barline(const Measure& measure) {
  const bool ending = measure.ending && measure.ending->starts;
  if (!ending && !measure.repeat_starts) return;
  const Within barline(xml_, "barline", {{"location", "left"}});
  if (measure.repeat_starts) xml_.leaf("bar-style", "heavy-light");
  if (ending) write_ending(*measure.ending, "start");
  if (measure.repeat_starts) xml_.empty("repeat", {{"direction", "forward"}});
}

void PartWriter::write_right_barline(const Measure& measure) {
  const bool ending = measure.ending && measure.ending->stop != Ending::Stop::none;
  const bool repeat = measure.repeat_times > 0;
  if (!ending && !repeat && measure.right_bar == BarStyle::regular) return;
  const Within barline(xml_, "barline", {{"location", "right"}});
  if (repeat || measure.right_bar != BarStyle::regular)
    xml_.leaf("bar-style", name_of(repeat ? BarStyle::light_heavy : measure.right_bar, bar_style_names));
  if (ending)
    write_ending(*measure.ending, measure.ending->stop == Ending::Stop::closed ? "stop" : "discontinue");
  if (!repeat) return;
  const Within element(xml_, "repeat", {{"direction", "backward"}});
  if (measure.repeat_times != 2) xml_.attribute("times", measure.repeat_times);
}

void PartWriter::write_ending(const Ending& ending, std::string_view type) {
  std::string numbers;
  for (const int number : ending.numbers) {
    if (number < 1) {
      report_.add(EntryKind::loss, "musicxml-ending-number", "an ending's number below 1 was left out");
      continue;
    }
    if (!numbers.empty()) numbers += ',';
    numbers += std::to_string(number);
  }
  xml_.empty("ending", {{"number", numbers}, {"type", type}});
}

void PartWriter::write_attributes(const Measure& measure) {
  const bool first = meter_ == nullptr;
  const bool divisions = first || grid_.divisions != stated_divisions_;
  const bool changes_at_once = !measure.key_changes.empty() && measure.key_changes.front().at == 0;
  const bool key = first || measure.key != key_in_force_ || changes_at_once;
  const bool time = first || *meter_ != measure.meter;
  accidentals_.start(measure.key);
  key_in_force_ = measure.key_changes.empty() ? measure.key : measure.key_changes.back().key;
  meter_ = &measure.meter;
  stated_divisions_ = grid_.divisions;
  if (!divisions && !key && !time) return;
  const Within attributes(xml_, "attributes");
  if (divisions) xml_.leaf("divisions", grid_.divisions);
  if (key) write_key(measure.key);
  if (time) write_time(measure.meter);
  if (first) write_clefs();
}

void PartWriter::write_key(const Key& key) {
  const Within element(xml_, "key");
  xml_.leaf("fifths", key.fifths);
  if (key.mode != Mode::none) xml_.leaf("mode", name_of(key.mode, mode_names));
}

void PartWriter::write_time(const Meter& meter) {
  std::string beats;
  for (const int count : meter.beats) {
    if (!beats.empty()) beats += '+';
    beats += std::to_string(count);
  }
  const Within time(xml_, "time");
  if (meter.symbol != Meter::Symbol::numbers)
    xml_.attribute("symbol", name_of(meter.symbol, meter_symbol_names));
  xml_.leaf("beats", beats);
  xml_.leaf("beat-type", meter.unit);
}

// Staves, clefs, the banjo and the octave that it is written above its sound.
void PartWriter::write_clefs() {
  const bool both = options_.staves == Staves::both;
  const auto clef = [&](std::string_view sign, int line, int number) {
    const Within element(xml_, "clef");
    if (both) xml_.attribute("number", number);
    xml_.leaf("sign", sign);
    xml_.leaf("line", line);
  };
  if (both) {
    xml_.leaf("staves", 2);
    xml_.leaf("part-symbol", "bracket");
  }
  if (options_.staves != Staves::tab) clef("G", 2, 1);
  if (options_.staves != Staves::notation) clef("TAB", 5, 2);
  write_staff_details(score_.banjo, options_.staves != Staves::notation, both ? 2 : 0, xml_, report_);
  const Within transpose(xml_, "transpose");
  xml_.leaf("diatonic", 0);
  xml_.leaf("chromatic", 0);
  xml_.leaf("octave-change", -1);
}

void PartWriter::write_staff(const Measure& measure, const StaffRole& staff) {
  notes_.start(staff, measure, grid_, engraving_);
  cursors_ = {};
  std::int64_t now = 0;
  std::size_t sounding_key = 0;
  for (std::size_t i = 0; i < engraving_.pieces.size(); ++i) {
    const engraving::Piece& piece = engraving_.pieces[i];
    // A grace note takes no time, but what stands at its place comes before it.
    const std::int64_t end = piece.onset + std::max<std::int64_t>(piece.duration, 1);
    if (staff.leading) {
      write_things_before(measure, piece.onset, end);
      while (sounding_key < measure.key_changes.size() &&
             grid_.ticks(measure.key_changes[sounding_key].at) <= piece.onset) {
        accidentals_.start(measure.key_changes[sounding_key++].key);
      }
    }
    notes_.write(i, accidentals_);
    now = piece.onset + piece.duration;
  }
  if (staff.leading) write_things_before(measure, now, INT64_MAX);
}

std::int64_t PartWriter::offset_of(Fraction at, std::int64_t start) const {
  return (grid_.ticks(at) - start) / grid_.division_ticks();
}

// All that belongs before `end` and is not yet written; the file is at `start`.
void PartWriter::write_things_before(const Measure& measure, std::int64_t start, std::int64_t end) {
  const auto due = [&](const auto& things, std::size_t next) {
    return next < things.size() && grid_.ticks(things[next].at) < end;
  };
  const bool numbered = options_.staves == Staves::both;
  for (; due(measure.key_changes, cursors_.key); ++cursors_.key) {
    const KeyChange& change = measure.key_changes[cursors_.key];
    write_key_change(change.key, offset_of(change.at, start));
  }
  for (; due(measure.directions, cursors_.direction); ++cursors_.direction) {
    const Direction& direction = measure.directions[cursors_.direction];
    write_direction(direction, {offset_of(direction.at, start), numbered}, xml_);
  }
  for (; due(measure.tempos, cursors_.tempo); ++cursors_.tempo) {
    const Tempo& tempo = measure.tempos[cursors_.tempo];
    write_tempo(tempo, {offset_of(tempo.at, start), numbered}, xml_, report_);
  }
  for (; due(measure.chords, cursors_.chord); ++cursors_.chord) {
    const ChordSymbol& chord = measure.chords[cursors_.chord];
    write_chord_symbol(chord, {offset_of(chord.at, start), numbered}, xml_, report_);
  }
}

void PartWriter::write_key_change(const Key& key, std::int64_t offset) {
  const auto move = [&](const char* element) {
    if (offset <= 0) return;
    const Within step(xml_, element);
    xml_.leaf("duration", offset);
  };
  move("forward");
  {
    const Within attributes(xml_, "attributes");
    write_key(key);
  }
  move("backup");
}

void PartWriter::report_values(const Measure& measure) {
  if (!grid_.exact) {
    Place place;
    place.measure = measure.number;
    report_.add(EntryKind::loss, "musicxml-rounded-time",
                "times in a measure have no common division that a file can state; they are rounded", place);
  }
  for (const engraving::Piece& piece : engraving_.pieces) {
    const Stroke& stroke = measure.strokes[piece.stroke];
    const bool grace = stroke.grace != Grace::none;
    const bool exact =
        !grace || !stroke.tuplets.empty() ||
        Fraction(engraving::length_in_units(piece.value), engraving::value_units) == stroke.duration;
    if ((piece.value || piece.measure_rest) && exact) continue;
    Place place;
    place.measure = measure.number;
    place.beat = beat_at(measure, stroke.onset);
    if (grace) {
      report_.add(EntryKind::loss, "musicxml-grace-value",
                  "a grace note's length is no single note value; it is written shorter", place);
    } else {
      report_.add(EntryKind::decision, "musicxml-note-value",
                  "a length that no note values add up to is written as a duration without a note value",
                  place);
    }
  }
}

}  // namespace fifthpeg::musicxml::writer
