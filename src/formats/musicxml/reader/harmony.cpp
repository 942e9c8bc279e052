// `harmony`: chord symbols.
#include <cstdlib>

#include "formats/musicxml/part_reader.hpp"

namespace fifthpeg::musicxml::reader {
namespace {

// root and bass: a step and an alteration.
std::optional<ChordTone> read_tone(const Element& element, Name step_name, Name alter_name,
                                   PartState& state) {
  std::optional<Step> letter;
  int alter = 0;
  state.diagnostics.attributes_unread(element);
  each_child(element, [&](const Element& child, Name name) {
    if (name == step_name) {
      letter = step(token_of(child));
      each_attribute(child, [&](const Attribute& attribute, Name kind) {
        if (kind == Name::text && *attribute.Value() == 0) {  // the root of "N.C.", which is not printed
          state.diagnostics.layout_left();
        } else {
          state.diagnostics.unread(attribute, child);
        }
      });
    } else if (name == alter_name) {
      alter = whole_number(token_of(child)).value_or(0);
      state.diagnostics.attributes_unread(child);
    } else {
      state.diagnostics.unread(child);
    }
  });
  if (!letter || std::abs(alter) > 2) return std::nullopt;
  return ChordTone{*letter, static_cast<std::int8_t>(alter)};
}

void read_kind(const Element& element, ChordSymbol& chord, PartState& state) {
  const std::string_view text = token_of(element);
  if (is_chord_kind(text)) {
    chord.kind = text;
  } else {
    chord.kind = "other";
    state.diagnostics.repair("musicxml-kind",
                             "a kind of chord that MusicXML does not have was read as `other`",
                             state.diagnostics.line_of(element));
  }
  each_attribute(element, [&](const Attribute& attribute, Name name) {
    if (name == Name::text) {
      chord.text = attribute.Value();
    } else {
      state.diagnostics.unread(attribute, element);
    }
  });
}

void read_degree(const Element& element, ChordSymbol& chord, PartState& state) {
  ChordDegree degree;
  bool known = false;
  state.diagnostics.attributes_unread(element);
  each_child(element, [&](const Element& child, Name name) {
    state.diagnostics.attributes_unread(child);
    switch (name) {
      case Name::degree_value: {
        const int value = whole_number(token_of(child)).value_or(0);
        known = value >= 1 && value <= 99;
        degree.value = static_cast<std::int8_t>(known ? value : 0);
        break;
      }
      case Name::degree_alter:
        degree.alter = static_cast<std::int8_t>(std::clamp(whole_number(token_of(child)).value_or(0), -2, 2));
        break;
      case Name::degree_type: {
        const std::string_view type = token_of(child);
        degree.kind = type == "alter"      ? ChordDegree::Kind::alter
                      : type == "subtract" ? ChordDegree::Kind::subtract
                                           : ChordDegree::Kind::add;
        break;
      }
      default:
        state.diagnostics.unread(child);
    }
  });
  if (known) {
    chord.degrees.push_back(degree);
  } else {
    state.diagnostics.repair("musicxml-degree", "a chord degree without a number was left out",
                             state.diagnostics.line_of(element));
  }
}

ChordTone sounding(const ChordTone& tone, const Transposition& by, PartState& state) {
  const bool octaves = by.half_steps % 12 == 0 && by.move.fifths == 0;
  if (octaves) return tone;
  const Move move = by.spelled ? by.move : move_for(state.written_key, by.half_steps);
  const Pitch pitch = moved(Pitch{tone.step, tone.alter, 4}, move);
  return {pitch.step, pitch.alter};
}

}  // namespace

void read_harmony(const Element& element, PartState& state) {
  ChordSymbol chord;
  std::optional<ChordTone> root;
  bool extra = false;  // the second of several chords in one element
  int roots = 0;
  Fraction offset;
  state.diagnostics.attributes_unread(element);
  each_child(element, [&](const Element& child, Name name) {
    if (name == Name::root && ++roots > 1) extra = true;
    if (extra && name != Name::offset && name != Name::staff) return state.diagnostics.unread(child);
    switch (name) {
      case Name::root:
        root = read_tone(child, Name::root_step, Name::root_alter, state);
        break;
      case Name::kind:
        read_kind(child, chord, state);
        break;
      case Name::bass:
        chord.bass = read_tone(child, Name::bass_step, Name::bass_alter, state);
        break;
      case Name::degree:
        read_degree(child, chord, state);
        break;
      case Name::offset:
        offset = duration_of(child, state).value_or(0);
        break;
      case Name::inversion:
        if (whole_number(token_of(child)).value_or(0) != 0) state.diagnostics.unread(child);
        break;
      case Name::staff:
        break;
      default:
        state.diagnostics.unread(child);
    }
  });
  if (!root && chord.kind != "none") {
    state.diagnostics.loss("musicxml-chord-without-root", "a chord symbol without a root is left out",
                           state.diagnostics.line_of(element));
    return;
  }
  const Transposition& by = state.transpositions[1];
  chord.root = sounding(root.value_or(ChordTone{}), by, state);
  if (chord.bass) chord.bass = sounding(*chord.bass, by, state);
  chord.at = place_at(offset, element, state);
  state.measure->measure.chords.push_back(std::move(chord));
}

}  // namespace fifthpeg::musicxml::reader
