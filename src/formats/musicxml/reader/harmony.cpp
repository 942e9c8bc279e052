// `harmony`: chord symbols.
#include <algorithm>
#include <cstdlib>

#include "formats/musicxml/names.hpp"
#include "formats/musicxml/part_reader.hpp"

namespace fifthpeg::musicxml::reader {
namespace {

// Half steps, 0 where none are stated; nothing that cannot be written is kept.
int alteration(const Element& element, const char* name, PartState& state) {
  constexpr int most = 2;
  const std::string_view text = child_token(element, name);
  if (text.empty()) return 0;
  const auto alter = whole_number(text);
  if (alter && std::abs(*alter) <= most) return static_cast<int>(*alter);
  state.diagnostics.loss(
      "musicxml-chord-alteration",
      "an alteration in a chord symbol that is not a whole number from -2 to 2 is left out", element);
  return 0;
}

// root and bass: a step and an alteration, under names of their own.
std::optional<ChordTone> read_tone(const Element& element, const char* step_name, const char* alter_name,
                                   PartState& state) {
  const Element* const letter = element.FirstChildElement(step_name);
  if (letter != nullptr && letter->Attribute("text") != nullptr) {
    if (attribute(*letter, "text").empty()) {  // the root of "N.C.", which is not printed
      state.diagnostics.layout_left();
    } else {
      state.diagnostics.unread_attribute("text", *letter);
    }
  }
  const auto tone = step(child_token(element, step_name));
  if (!tone) return std::nullopt;
  return ChordTone{*tone, static_cast<std::int8_t>(alteration(element, alter_name, state))};
}

void read_kind(const Element& element, ChordSymbol& chord, PartState& state) {
  const std::string_view text = token_of(element);
  if (is_chord_kind(text)) {
    chord.kind = text;
  } else {
    chord.kind = "other";
    state.diagnostics.repair("musicxml-kind",
                             "a kind of chord that MusicXML does not have was read as `other`", element);
  }
  chord.text = attribute(element, "text");
}

void read_degree(const Element& element, ChordSymbol& chord, PartState& state) {
  const auto value = whole_number(child_token(element, "degree-value"));
  if (!value || *value < 1 || *value > 99) {
    state.diagnostics.loss("musicxml-degree", "a chord degree without a number was left out", element);
    return;
  }
  ChordDegree degree;
  degree.value = static_cast<std::int8_t>(*value);
  degree.alter = static_cast<std::int8_t>(alteration(element, "degree-alter", state));
  degree.kind = named<ChordDegree::Kind>(child_token(element, "degree-type"), degree_type_names)
                    .value_or(ChordDegree::Kind::add);
  chord.degrees.push_back(degree);
}

ChordTone sounding(const ChordTone& tone, const Transposition& by, PartState& state) {
  if (by.is_octaves()) return tone;
  const Pitch pitch = moved(Pitch{tone.step, tone.alter, 4}, by.move_in(state.written_key));
  return {pitch.step, pitch.alter};
}

}  // namespace

void read_harmony(const Element& element, PartState& state) {
  ChordSymbol chord;
  std::optional<ChordTone> root;
  int roots = 0;
  Fraction offset;
  each_child(element, [&](const Element& child, std::string_view name) {
    if (name == "root") ++roots;
    if (name == "offset") {
      offset = duration_of(child, state).value_or(0);
    } else if (roots > 1 && name != "staff") {  // the second of several chords in one element
      state.diagnostics.unread(child);
    } else if (name == "root") {
      root = read_tone(child, "root-step", "root-alter", state);
    } else if (name == "kind") {
      read_kind(child, chord, state);
    } else if (name == "bass") {
      chord.bass = read_tone(child, "bass-step", "bass-alter", state);
    } else if (name == "degree") {
      read_degree(child, chord, state);
    } else if (name == "inversion") {
      if (whole_number(token_of(child)).value_or(0) != 0) state.diagnostics.unread(child);
    }
  });
  if (!root && chord.kind != "none") {
    state.diagnostics.loss("musicxml-chord-without-root", "a chord symbol without a root is left out",
                           element);
    return;
  }
  const Transposition& by = state.transpositions[1];
  chord.root = sounding(root.value_or(ChordTone{}), by, state);
  if (chord.bass) chord.bass = sounding(*chord.bass, by, state);
  chord.at = place_at(offset, element, state);
  state.measure->measure.chords.push_back(std::move(chord));
}

}  // namespace fifthpeg::musicxml::reader
