#include "check/part_rules.hpp"

namespace fifthpeg::check {

Place place_in(const RawPart& part, const RawMeasure& measure, std::int64_t line) {
  Place place;
  place.part = part.description.label();
  place.measure = measure.measure.number;
  place.line = line;
  return place;
}

Place place_at(const RawPart& part, const RawMeasure& measure, const RawNote& note) {
  Place place = place_in(part, measure, note.line);
  if (measure.timed && measure.metered) place.beat = beat_at(measure.measure, note.onset);
  return place;
}

NoteIndex index_of(const RawPart& part, const RawMeasure& measure, const RawNote& note) {
  return {part.description.id, measure.index, static_cast<std::size_t>(&note - measure.notes.data())};
}

Ties ties_of(const RawNote& note) {
  Ties ties;
  for (const Mark& mark : note.marks) {
    if (mark.kind == Mark::Kind::tie) (mark.start ? ties.start : ties.stop) = true;
    if (mark.kind == Mark::Kind::tied) (mark.start ? ties.drawn_start : ties.drawn_stop) = true;
  }
  return ties;
}

engraving::NoteValue plain_value(const RawNote& note) {
  static const int shortest = engraving::type_named("128th").type;
  static const int longest = engraving::type_named("breve").type;
  const engraving::NoteValue value = engraving::single_value(engraving::units_in(printed_length(note)));
  const bool plain = value && value.dots <= 1 && value.type >= shortest && value.type <= longest;
  return plain ? value : engraving::NoteValue{};
}

std::string words_of_pitch(int midi) {
  return to_string(spell(midi, Key{1, Mode::major}));
}

}  // namespace fifthpeg::check
