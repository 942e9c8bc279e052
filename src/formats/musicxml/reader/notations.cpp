// `notations` and `lyric`: what hangs on a note.
#include <algorithm>
#include <cstdlib>

#include "formats/musicxml/conventions.hpp"
#include "formats/musicxml/part_reader.hpp"

namespace fifthpeg::musicxml::reader {
namespace {

struct Ends {  // of a line that spans notes: `type`, `number`
  bool start = false;
  bool stop = false;
  bool let_ring = false;
  int number = 1;
};

Ends read_ends(const Element& element, PartState& state) {
  Ends ends;
  each_attribute(element, [&](const Attribute& attribute, Name name) {
    const std::string_view value(attribute.Value());
    if (name == Name::type) {
      ends.start = value == "start";
      ends.stop = value == "stop";
      ends.let_ring = value == "let-ring";
    } else if (name == Name::number) {
      ends.number = whole_number(value).value_or(1);
    } else {
      state.diagnostics.unread(attribute, element);
    }
  });
  return ends;
}

void add_mark(const Element& element, const Ends& ends, Mark::Kind kind, RawNote& note, PartState& state) {
  if (!ends.start && !ends.stop) return;
  note.marks.push_back({kind, ends.start, ends.number, 0, 0, state.diagnostics.line_of(element)});
}

void connect(const Element& element, Mark::Kind kind, Technique technique, RawNote& note, PartState& state) {
  const Ends ends = read_ends(element, state);
  if (ends.start) note.note.out_of = technique;
  if (ends.stop) note.note.into = technique;
  add_mark(element, ends, kind, note, state);
}

// A string's own number or a fret: 0 to 99.
std::optional<std::int16_t> small_number(const Element& element, PartState& state) {
  const auto number = whole_number(token_of(element));
  if (number && *number >= 0 && *number < 100) return static_cast<std::int16_t>(*number);
  state.diagnostics.repair("musicxml-string-fret", "a string or fret that is not a number was ignored",
                           state.diagnostics.line_of(element));
  return std::nullopt;
}

void read_fingering(const Element& element, RawNote& note, PartState& state) {
  each_attribute(element, [&](const Attribute& attribute, Name name) {
    const bool more = name == Name::substitution || name == Name::alternate;
    if (more && !is_yes(attribute.Value())) return;
    state.diagnostics.unread(attribute, element);
  });
  const std::string_view text = token_of(element);
  std::optional<FretFinger> finger;
  if (text == "T" || text == "t") {
    finger = FretFinger::thumb;
  } else if (text.size() == 1 && text.front() >= '0' && text.front() <= '4') {
    finger = static_cast<FretFinger>(text.front() - '0');
  }
  if (!finger || (note.note.finger && *note.note.finger != *finger)) {
    state.diagnostics.loss("musicxml-fingering",
                           "a fingering that is not one of 0, 1, 2, 3, 4 and T is left out",
                           state.diagnostics.line_of(element));
    return;
  }
  note.note.finger = finger;
}

// T I M as banjo players write them; p i m a c as guitarists do (common practice).
void read_pluck(const Element& element, RawNote& note, PartState& state) {
  state.diagnostics.attributes_unread(element);
  const std::string_view text = token_of(element);
  note.plucks.emplace_back(text);
  if (text.size() == 1) {
    switch (text.front()) {
      case 'T':
      case 't':
      case 'p':
      case 'P':
        note.note.picking_finger = PickingFinger::thumb;
        return;
      case 'I':
      case 'i':
        note.note.picking_finger = PickingFinger::index;
        return;
      case 'M':
      case 'm':
        note.note.picking_finger = PickingFinger::middle;
        return;
      case 'R':
      case 'r':
      case 'a':
      case 'A':
        note.note.picking_finger = PickingFinger::ring;
        return;
      case 'L':
      case 'l':
      case 'c':
      case 'C':
        note.note.picking_finger = PickingFinger::little;
        return;
      default:
        break;
    }
  }
  state.diagnostics.loss("musicxml-pluck",
                         "a picking finger that is not one of T I M R L (or p i m a c) is left out",
                         state.diagnostics.line_of(element));
}

void read_bend(const Element& element, RawNote& note, PartState& state) {
  Fraction alter;
  bool before = false;
  bool release = false;
  each_child(element, [&](const Element& child, Name name) {
    switch (name) {
      case Name::bend_alter:
        alter = decimal(token_of(child)).value_or(0);
        break;
      case Name::pre_bend:
        before = true;
        break;
      case Name::release:
        release = true;
        state.diagnostics.attributes_unread(child);
        break;
      default:
        state.diagnostics.unread(child);
    }
  });
  state.diagnostics.attributes_unread(element);
  const std::int64_t cents = (alter * 100 + Fraction(1, 2)).floor();
  constexpr std::int64_t most = 2400;
  if (release || cents < 0) {  // lets down what was raised before, or is the whole of it
    if (!note.note.choke && cents == 0) return;
    if (!note.note.choke)
      note.note.choke = Choke{static_cast<std::int16_t>(std::min(std::abs(cents), most)), cents < 0, true};
    note.note.choke->release = true;
    return;
  }
  if (cents == 0 || cents > most) {
    state.diagnostics.repair("musicxml-bend",
                             "a bend without a height, or with an impossible one, was ignored",
                             state.diagnostics.line_of(element));
    return;
  }
  if (note.note.choke) {
    state.diagnostics.loss("musicxml-bend-again", "a second bend of one note is left out",
                           state.diagnostics.line_of(element));
    return;
  }
  note.note.choke = Choke{static_cast<std::int16_t>(cents), before, false};
}

void read_harmonic(const Element& element, RawNote& note, PartState& state) {
  note.note.harmonic = true;
  state.diagnostics.attributes_unread(element);
  each_child(element, [&](const Element& child, Name name) {
    if (name != Name::natural && name != Name::sounding_pitch) state.diagnostics.unread(child);
  });
}

void read_technical(const Element& element, RawNote& note, PartState& state) {
  state.diagnostics.attributes_unread(element);
  each_child(element, [&](const Element& child, Name name) {
    switch (name) {
      case Name::string:
        note.string = small_number(child, state);
        state.diagnostics.attributes_unread(child);
        break;
      case Name::fret:
        note.fret = small_number(child, state);
        state.diagnostics.attributes_unread(child);
        break;
      case Name::fingering:
        read_fingering(child, note, state);
        break;
      case Name::pluck:
        read_pluck(child, note, state);
        break;
      case Name::fingernails:
        note.note.picking_finger = PickingFinger::nail;
        state.diagnostics.attributes_unread(child);
        break;
      case Name::hammer_on:
        connect(child, Mark::Kind::hammer_on, Technique::hammer_on, note, state);
        break;
      case Name::pull_off:
        connect(child, Mark::Kind::pull_off, Technique::pull_off, note, state);
        break;
      case Name::bend:
        read_bend(child, note, state);
        break;
      case Name::harmonic:
        read_harmonic(child, note, state);
        break;
      case Name::open_string:
        if (!note.note.finger) note.note.finger = FretFinger::open;
        state.diagnostics.attributes_unread(child);
        break;
      case Name::other_technical:
        if (token_of(child) == musicxml::damp_text) {
          note.note.ring = Ring::damp;
          state.diagnostics.attributes_unread(child);
          break;
        }
        [[fallthrough]];
      default:
        state.diagnostics.unread(child);
    }
  });
}

void read_articulations(const Element& element, RawNote& note, PartState& state) {
  state.diagnostics.attributes_unread(element);
  each_child(element, [&](const Element& child, Name name) {
    const bool is_usual = name == Name::strong_accent && child.Attribute("type", "up") != nullptr;
    if (!is_usual) state.diagnostics.attributes_unread(child);
    switch (name) {
      case Name::accent:
        note.articulations.accent = true;
        break;
      case Name::strong_accent:
        note.articulations.strong_accent = true;
        break;
      case Name::staccatissimo:
      case Name::spiccato:
        state.diagnostics.choice("musicxml-staccato", "staccatissimo and spiccato are read as staccato",
                                 state.diagnostics.line_of(child));
        note.articulations.staccato = true;
        break;
      case Name::staccato:
        note.articulations.staccato = true;
        break;
      case Name::tenuto:
        note.articulations.tenuto = true;
        break;
      case Name::detached_legato:
        note.articulations.staccato = note.articulations.tenuto = true;
        break;
      default:
        state.diagnostics.unread(child);
    }
  });
}

// The shape says how long; which one is drawn by default, the standard calls normal.
void read_fermata(const Element& element, RawNote& note, PartState& state) {
  note.articulations.fermata = true;
  state.diagnostics.attributes_unread(element);
  const std::string_view shape = token_of(element);
  if (!shape.empty() && shape != "normal") {
    state.diagnostics.loss("musicxml-fermata-shape", "a fermata of another shape is read as a normal fermata",
                           state.diagnostics.line_of(element));
  }
}

// tuplet-actual or tuplet-normal: its tuplet-number, or 0.
std::int16_t portion(const Element& element, PartState& state) {
  int number = 0;
  each_child(element, [&](const Element& child, Name name) {
    state.diagnostics.attributes_unread(child);
    if (name == Name::tuplet_number) {
      number = whole_number(token_of(child)).value_or(0);
    } else {  // the note value that is printed with it
      state.diagnostics.layout_left();
    }
  });
  constexpr int most = 1024;
  return static_cast<std::int16_t>(number < 1 || number > most ? 0 : number);
}

void read_tuplet(const Element& element, RawNote& note, PartState& state) {
  const Ends ends = read_ends(element, state);
  if (!ends.start && !ends.stop) return;
  add_mark(element, ends, Mark::Kind::tuplet, note, state);
  Mark& mark = note.marks.back();
  each_child(element, [&](const Element& child, Name name) {
    if (name == Name::tuplet_actual) mark.actual = portion(child, state);
    if (name == Name::tuplet_normal) mark.normal = portion(child, state);
  });
  if (mark.actual == 0 || mark.normal == 0) mark.actual = mark.normal = 0;
}

void read_arpeggiate(const Element& element, RawNote& note, PartState& state) {
  note.brush = Brush::plain;
  each_attribute(element, [&](const Attribute& attribute, Name name) {
    if (name != Name::direction) return state.diagnostics.unread(attribute, element);
    const std::string_view value(attribute.Value());
    if (value == "up") note.brush = Brush::up;
    if (value == "down") note.brush = Brush::down;
  });
}

void read_notation(const Element& child, Name name, RawNote& note, PartState& state) {
  switch (name) {
    case Name::technical:
      read_technical(child, note, state);
      break;
    case Name::tied: {
      const Ends ends = read_ends(child, state);
      if (ends.let_ring) note.note.ring = Ring::let_ring;
      add_mark(child, ends, Mark::Kind::tied, note, state);
      if (note.grace != Grace::none) break;
      if (ends.start) note.note.tied_to_next = true;
      if (ends.stop) note.note.tied_from_previous = true;
      break;
    }
    case Name::slur:
      add_mark(child, read_ends(child, state), Mark::Kind::slur, note, state);
      break;
    case Name::tuplet:
      read_tuplet(child, note, state);
      break;
    case Name::slide:
      if (!token_of(child).empty()) state.diagnostics.layout_left();  // words along its line
      connect(child, Mark::Kind::slide, Technique::slide, note, state);
      break;
    case Name::glissando:
      if (!token_of(child).empty()) state.diagnostics.layout_left();
      state.diagnostics.choice("musicxml-glissando", "a glissando is read as a slide",
                               state.diagnostics.line_of(child));
      connect(child, Mark::Kind::slide, Technique::slide, note, state);
      break;
    case Name::articulations:
      read_articulations(child, note, state);
      break;
    case Name::fermata:
      read_fermata(child, note, state);
      break;
    case Name::arpeggiate:
      read_arpeggiate(child, note, state);
      break;
    case Name::non_arpeggiate:
      state.diagnostics.choice("musicxml-non-arpeggiate",
                               "a bracket for notes struck together says what a chord says",
                               state.diagnostics.line_of(child));
      state.diagnostics.attributes_unread(child);
      break;
    case Name::dynamics:
      state.measure->directions.push_back({{note.chord && state.any_note ? state.chord_onset : state.position,
                                            Direction::Kind::dynamics, dynamics_text(child, state)},
                                           note.staff,
                                           state.diagnostics.line_of(child)});
      break;
    default:
      // A pair of notes played in turn: each is printed with the value of both.
      if (const Element* tremolo = child.FirstChildElement("tremolo"))
        note.tremolo = note.tremolo || attribute(*tremolo, "type") != "single";
      state.diagnostics.unread(child);
  }
}

Syllabic syllabic_of(std::string_view text) {
  if (text == "begin") return Syllabic::begin;
  if (text == "middle") return Syllabic::middle;
  if (text == "end") return Syllabic::end;
  return Syllabic::single;
}

}  // namespace

void read_notations(const Element& element, RawNote& note, PartState& state) {
  state.diagnostics.attributes_unread(element);
  each_child(element, [&](const Element& child, Name name) { read_notation(child, name, note, state); });
}

void read_lyric(const Element& element, RawNote& note, PartState& state) {
  Lyric lyric;
  std::string name_of_verse;
  bool numbered = false;
  each_attribute(element, [&](const Attribute& attribute, Name name) {
    if (name == Name::number) {
      lyric.verse = attribute.Value();
      numbered = true;
    } else if (name == Name::name) {
      name_of_verse = attribute.Value();
    } else {
      state.diagnostics.unread(attribute, element);
    }
  });
  if (!numbered && element.FindAttribute("name") != nullptr) lyric.verse = name_of_verse;
  bool any_text = false;
  each_child(element, [&](const Element& child, Name name) {
    switch (name) {
      case Name::syllabic:
        if (!any_text) lyric.syllabic = syllabic_of(token_of(child));
        break;
      case Name::text:
        // Syllables sung on one note: joined by what the file puts between them.
        lyric.text += state.written_text(child);
        any_text = true;
        state.diagnostics.attributes_unread(child);
        break;
      case Name::elision: {
        const std::string between = text_of(child);
        lyric.text += between.empty() ? "\u203F" : between;  // the undertie
        state.diagnostics.attributes_unread(child);
        break;
      }
      default:
        state.diagnostics.unread(child);
    }
  });
  if (any_text) note.lyrics.push_back(std::move(lyric));
}

}  // namespace fifthpeg::musicxml::reader
