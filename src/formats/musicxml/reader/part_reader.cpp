#include "formats/musicxml/part_reader.hpp"

#include <algorithm>
#include <array>

#include "fifthpeg/errors.hpp"
#include "formats/musicxml/printed_value.hpp"

namespace fifthpeg::musicxml::reader {
namespace {

// No music has a longer measure or note, in whole notes; it keeps damaged numbers from growing into
// millions of tied notes.
constexpr std::int64_t longest = 4096;

void measure_attributes(const Element& element, PartState& state) {
  Measure& measure = state.measure->measure;
  for (const Attribute* one = element.FirstAttribute(); one != nullptr; one = one->Next()) {
    const std::string_view name = one->Name();
    if (name == "number" || name == "text") {  // a text overrides the number, which a score has once
      measure.number = one->Value();
    } else if (name == "implicit") {
      measure.implicit = is_yes(one->Value());
    } else {
      state.diagnostics.unread_attribute(one->Name(), element);
    }
  }
}

// The duration of a backup or forward.
std::optional<Fraction> step_length(const Element& element, PartState& state) {
  const Element* const duration = element.FirstChildElement("duration");
  if (duration != nullptr) state.expect_divisions(state.diagnostics.line_of(element));
  const auto length = duration == nullptr ? std::nullopt : duration_of(*duration, state);
  if (!length || *length < 0) {
    state.diagnostics.repair("musicxml-duration", "an invalid duration was ignored", element);
    return std::nullopt;
  }
  return length;
}

void reach(PartState& state) {
  state.measure->extent = std::max(state.measure->extent, state.position);
  if (state.position > longest)
    state.refuse("a measure is longer than " + std::to_string(longest) + " whole notes", state.measure->line);
}

void back_up(const Element& element, PartState& state) {
  const auto length = step_length(element, state);
  if (!length) return;
  state.position -= *length;
  if (state.position < 0) {
    state.diagnostics.repair("musicxml-backup",
                             "the notes of one staff or voice are shorter than what the file goes back by to "
                             "begin the next one (<backup>); that one begins with the measure",
                             element);
    state.measure->written->backups_too_far.push_back({state.diagnostics.line_of(element), -state.position});
    state.position = 0;
  }
  state.any_note = false;
}

void go_forward(const Element& element, PartState& state) {
  const auto length = step_length(element, state);
  if (!length) return;
  state.position += *length;
  state.any_note = false;
}

struct ElementReader {
  std::string_view name;
  void (*read)(const Element&, PartState&);
};
constexpr auto readers = std::to_array<ElementReader>({{"note", read_note},
                                                       {"backup", back_up},
                                                       {"forward", go_forward},
                                                       {"attributes", read_attributes},
                                                       {"direction", read_direction},
                                                       {"harmony", read_harmony},
                                                       {"barline", read_barline},
                                                       {"sound", read_sound}});

void read_child(const Element& child, std::string_view name, PartState& state) {
  const auto* const reader = std::find_if(readers.begin(), readers.end(),
                                          [name](const ElementReader& one) { return one.name == name; });
  if (reader == readers.end()) return state.diagnostics.unread(child);
  state.diagnostics.unread_inside(child);
  reader->read(child, state);
  reach(state);
}

// Behind the last note, since a rest may be as long as the measure.
void compare_values(const RawMeasure& raw, PartState& state) {
  for (const RawNote& note : raw.notes) {
    if (!contradicting_value(note, raw, state.part.divisions.value_or(1))) continue;
    state.diagnostics.move_to(note.onset);
    state.diagnostics.loss("musicxml-printed-value",
                           "type and dots of a note contradict its duration; the duration was used",
                           note.line);
  }
}

// What a score does not keep.
void release_memory(RawMeasure& raw) {
  raw.written.reset();
  std::erase_if(raw.notes, [](const RawNote& note) { return note.left_out; });
  for (RawNote& note : raw.notes) {
    note.plucks = {};
    if (note.marks.empty()) continue;
    std::erase_if(note.marks, [](const Mark& mark) {
      return mark.kind == Mark::Kind::tie || mark.kind == Mark::Kind::tied || mark.kind == Mark::Kind::slide;
    });
    note.marks.shrink_to_fit();
  }
}

}  // namespace

void PartState::refuse(const std::string& why, std::int64_t line) {
  if (!fault) fault = ReadError(why, diagnostics.place(line));
}

std::string PartState::written_text(const Element& element) {
  return measure->written->texts.emplace_back(diagnostics.line_of(element), text_of(element)).second;
}

void PartState::expect_divisions(std::int64_t line) {
  if (part.divisions_stated) return;
  measure->timed = false;
  std::int64_t& first = measure->written->without_divisions;
  if (first == 0) first = line;
}

RawMeasure& PartReader::read(const MeasureSource& source, const Element& music) {
  PartState& state = state_;
  RawMeasure& raw = state.part.measures.emplace_back();
  raw.written = std::make_unique<Written>();
  raw.index = state.part.measures_read++;
  raw.line = source.music.line;
  state.measure = &raw;
  state.diagnostics.enter_slice(source.music.line);
  state.last_duration_text = {};  // stood in the measure before
  measure_attributes(*source.measure, state);
  raw.measure.meter = state.meter;
  raw.metered = state.metered;
  raw.measure.key = state.key;
  raw.measure.repeat_starts = state.repeat_starts_next;
  state.repeat_starts_next = false;
  state.position = 0;
  state.any_note = false;
  state.key_read = false;
  state.diagnostics.enter_measure(&raw.measure);
  state.diagnostics.move_to(0);
  if (state.open_ending) raw.measure.ending = Ending{*state.open_ending, false, Ending::Stop::none};

  const auto in_time = [&](auto read) {
    try {
      read();
    } catch (const TimeError&) {
      raw.timed = false;
      state.refuse("times are divided too finely to be added up", source.music.line);
    }
  };
  each_child(music, [&](const Element& child, std::string_view name) {
    in_time([&] { read_child(child, name, state); });
    state.diagnostics.move_to(state.position);
  });
  in_time([&] { compare_values(raw, state); });
  state.diagnostics.enter_measure(nullptr);
  state.diagnostics.enter_slice(1);
  return raw;
}

std::optional<Fraction> duration_of(const Element& element, PartState& state) {
  const std::string_view text = token_of(element);
  if (!text.empty() && text == state.last_duration_text) return state.last_duration;
  const auto count = decimal(text);
  if (!count) return std::nullopt;
  const Fraction divisions = state.part.divisions.value_or(1);
  const Fraction length = *count / (divisions * 4);
  if (length > longest || length < -longest) {
    state.refuse("a duration is longer than " + std::to_string(longest) + " whole notes",
                 state.diagnostics.line_of(element));
  }
  state.last_duration_text = text;
  state.last_duration = length;
  return length;
}

Fraction place_at(Fraction offset, const Element& element, PartState& state) {
  const Fraction place = state.position + offset;
  if (place >= 0) return place;
  state.diagnostics.repair("musicxml-offset", "something placed outside of its measure was moved to its edge",
                           element);
  return 0;
}

RawPart read_part(const PartSource& source, Diagnostics& diagnostics) {
  RawPart part;
  part.description = source.description;
  part.measures.reserve(source.measures.size());
  PartReader reader(part, diagnostics);
  for (const MeasureSource& measure : source.measures) {
    RawMeasure& raw = reader.read(measure, reader.parse(measure));
    if (reader.fault()) throw *reader.fault();
    release_memory(raw);
    raw.measure.length = raw.extent;
    // Without any time passing there is no measure.
    raw.dropped = raw.extent == 0 && raw.measure.implicit && raw.notes.empty();
  }
  part.voices = part.voice_names.size();
  return part;
}

}  // namespace fifthpeg::musicxml::reader
