// `notations` and `lyric`: what hangs on a note.
#include <algorithm>
#include <cstdlib>

#include "formats/musicxml/conventions.hpp"
#include "formats/musicxml/names.hpp"
#include "formats/musicxml/part_reader.hpp"

namespace fifthpeg::musicxml::reader {
namespace {

struct Ends {  // of a line that spans notes: `type`, `number`
  bool start = false;
  bool stop = false;
  bool let_ring = false;
  int number = 1;
};

Ends ends_of(const Element& element) {
  const std::string_view type = attribute(element, "type");
  return {type == "start", type == "stop", type == "let-ring",
          whole_number(attribute(element, "number")).value_or(1)};
}

void add_mark(const Element& element, const Ends& ends, Mark::Kind kind, RawNote& note, PartState& state) {
  if (!ends.start && !ends.stop) return;
  note.marks.push_back({kind, ends.start, ends.number, 0, 0, state.diagnostics.line_of(element)});
}

void connect(const Element& element, Mark::Kind kind, Technique technique, RawNote& note, PartState& state) {
  const Ends ends = ends_of(element);
  if (ends.start) note.note.out_of = technique;
  if (ends.stop) note.note.into = technique;
  add_mark(element, ends, kind, note, state);
}

// A string's own number or a fret: 0 to 99.
std::optional<std::int16_t> small_number(const Element& element, PartState& state) {
  const auto number = whole_number(token_of(element));
  if (number && *number >= 0 && *number < 100) return static_cast<std::int16_t>(*number);
  state.diagnostics.loss("musicxml-string-fret", "a string or fret that is not a number was ignored",
                         element);
  return std::nullopt;
}

void read_fingering(const Element& element, RawNote& note, PartState& state) {
  for (const char* const more : {"substitution", "alternate"})
    if (is_yes(attribute(element, more))) state.diagnostics.unread_attribute(more, element);
  const auto finger = named<FretFinger>(base::upper_case(token_of(element)), fingering_names);
  if (!finger || (note.note.finger && *note.note.finger != *finger)) {
    state.diagnostics.loss("musicxml-fingering",
                           "a fingering that is not one of 0, 1, 2, 3, 4 and T is left out", element);
    return;
  }
  note.note.finger = finger;
}

// T I M as banjo players write them; p i m a c as guitarists do (common practice).
void read_pluck(const Element& element, RawNote& note, PartState& state) {
  const std::string_view text = token_of(element);
  note.plucks.emplace_back(text);
  constexpr Names<5> letters{"TtPp", "Ii", "Mm", "RrAa", "LlCc"};
  for (std::size_t i = 0; i < letters.size() && text.size() == 1; ++i) {
    if (letters[i].find(text.front()) == std::string_view::npos) continue;
    note.note.picking_finger = static_cast<PickingFinger>(i);
    return;
  }
  state.diagnostics.loss("musicxml-pluck",
                         "a picking finger that is not one of T I M R L (or p i m a c) is left out", element);
}

void read_bend(const Element& element, RawNote& note, PartState& state) {
  const Fraction alter = decimal(child_token(element, "bend-alter")).value_or(0);
  const bool before = element.FirstChildElement("pre-bend") != nullptr;
  const bool release = element.FirstChildElement("release") != nullptr;
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
    state.diagnostics.loss("musicxml-bend", "a bend without a height, or with an impossible one, was ignored",
                           element);
    return;
  }
  if (note.note.choke) {
    state.diagnostics.loss("musicxml-bend-again", "a second bend of one note is left out", element);
    return;
  }
  note.note.choke = Choke{static_cast<std::int16_t>(cents), before, false};
}

void read_technical(const Element& element, RawNote& note, PartState& state) {
  each_child(element, [&](const Element& child, std::string_view name) {
    if (name == "string") {
      note.string = small_number(child, state);
    } else if (name == "fret") {
      note.fret = small_number(child, state);
    } else if (name == "fingering") {
      read_fingering(child, note, state);
    } else if (name == "pluck") {
      read_pluck(child, note, state);
    } else if (name == "fingernails") {
      note.note.picking_finger = PickingFinger::nail;
    } else if (name == "hammer-on") {
      connect(child, Mark::Kind::hammer_on, Technique::hammer_on, note, state);
    } else if (name == "pull-off") {
      connect(child, Mark::Kind::pull_off, Technique::pull_off, note, state);
    } else if (name == "bend") {
      read_bend(child, note, state);
    } else if (name == "harmonic") {
      note.note.harmonic = true;
    } else if (name == "open-string") {
      if (!note.note.finger) note.note.finger = FretFinger::open;
    } else if (name == "other-technical") {
      if (token_of(child) == musicxml::damp_text) {
        note.note.ring = Ring::damp;
      } else if (token_of(child) == musicxml::thumb_text) {
        note.note.finger = FretFinger::thumb;
      } else {
        state.diagnostics.unread(child);
      }
    }
  });
}

void read_articulations(const Element& element, RawNote& note, PartState& state) {
  Articulations& marks = note.articulations;
  each_child(element, [&](const Element& child, std::string_view name) {
    marks.accent |= name == "accent";
    marks.tenuto |= name == "tenuto" || name == "detached-legato";
    marks.staccato |= name == "staccato" || name == "detached-legato";
    if (name == "strong-accent") {
      marks.strong_accent = true;
      if (child.Attribute("type") != nullptr && child.Attribute("type", "up") == nullptr)
        state.diagnostics.unread_attribute("type", child);
    } else if (name == "staccatissimo" || name == "spiccato") {
      marks.staccato = true;
      state.diagnostics.choice("musicxml-staccato", "staccatissimo and spiccato are read as staccato", child);
    }
  });
}

// The shape says how long; which one is drawn by default, the standard calls normal.
void read_fermata(const Element& element, RawNote& note, PartState& state) {
  note.articulations.fermata = true;
  const std::string_view shape = token_of(element);
  if (!shape.empty() && shape != "normal") {
    state.diagnostics.loss("musicxml-fermata-shape", "a fermata of another shape is read as a normal fermata",
                           element);
  }
}

// The number of tuplet-actual or tuplet-normal, or 0.
std::int16_t portion(const Element& tuplet, const char* name) {
  const Element* const element = tuplet.FirstChildElement(name);
  const int number =
      element == nullptr ? 0 : whole_number(child_token(*element, "tuplet-number")).value_or(0);
  constexpr int most = 1024;
  return static_cast<std::int16_t>(number < 1 || number > most ? 0 : number);
}

void read_tuplet(const Element& element, RawNote& note, PartState& state) {
  const Ends ends = ends_of(element);
  if (!ends.start && !ends.stop) return;
  add_mark(element, ends, Mark::Kind::tuplet, note, state);
  Mark& mark = note.marks.back();
  mark.actual = portion(element, "tuplet-actual");
  mark.normal = portion(element, "tuplet-normal");
  if (mark.actual == 0 || mark.normal == 0) mark.actual = mark.normal = 0;
}

void read_tied(const Element& element, RawNote& note, PartState& state) {
  const Ends ends = ends_of(element);
  if (ends.let_ring) note.note.ring = Ring::let_ring;
  add_mark(element, ends, Mark::Kind::tied, note, state);
  if (note.grace != Grace::none) return;
  note.note.tied_to_next |= ends.start;
  note.note.tied_from_previous |= ends.stop;
}

void read_arpeggiate(const Element& element, RawNote& note) {
  const std::string_view direction = attribute(element, "direction");
  note.brush = direction == "up" ? Brush::up : direction == "down" ? Brush::down : Brush::plain;
}

void read_notation(const Element& child, std::string_view name, RawNote& note, PartState& state) {
  if (name == "technical") {
    read_technical(child, note, state);
  } else if (name == "tied") {
    read_tied(child, note, state);
  } else if (name == "slur") {
    add_mark(child, ends_of(child), Mark::Kind::slur, note, state);
  } else if (name == "tuplet") {
    read_tuplet(child, note, state);
  } else if (name == "slide" || name == "glissando") {
    if (!token_of(child).empty()) state.diagnostics.layout_left();  // words along its line
    if (name == "glissando")
      state.diagnostics.choice("musicxml-glissando", "a glissando is read as a slide", child);
    connect(child, Mark::Kind::slide, Technique::slide, note, state);
  } else if (name == "articulations") {
    read_articulations(child, note, state);
  } else if (name == "fermata") {
    read_fermata(child, note, state);
  } else if (name == "arpeggiate") {
    read_arpeggiate(child, note);
  } else if (name == "non-arpeggiate") {
    state.diagnostics.choice("musicxml-non-arpeggiate",
                             "a bracket for notes struck together says what a chord says", child);
  } else if (name == "dynamics") {
    const Fraction at = note.chord && state.any_note ? state.chord_onset : state.position;
    state.measure->directions.push_back({{at, Direction::Kind::dynamics, dynamics_text(child)},
                                         note.staff,
                                         state.diagnostics.line_of(child)});
  } else if (const Element* const tremolo = child.FirstChildElement("tremolo")) {
    // A pair of notes played in turn: each is printed with the value of both.
    note.tremolo = note.tremolo || attribute(*tremolo, "type") != "single";
  }
}

}  // namespace

void read_notations(const Element& element, RawNote& note, PartState& state) {
  each_child(element,
             [&](const Element& child, std::string_view name) { read_notation(child, name, note, state); });
}

void read_lyric(const Element& element, RawNote& note, PartState& state) {
  Lyric lyric;
  for (const char* const verse : {"name", "number"})  // its number, or else its name
    if (element.Attribute(verse) != nullptr) lyric.verse = attribute(element, verse);
  if (lyric.verse == musicxml::picking_verse) return;
  bool any_text = false;
  each_child(element, [&](const Element& child, std::string_view name) {
    if (name == "syllabic") {
      if (!any_text)
        lyric.syllabic = named<Syllabic>(token_of(child), syllabic_names).value_or(Syllabic::single);
    } else if (name == "text") {
      // Syllables sung on one note: joined by what the file puts between them.
      lyric.text += state.written_text(child);
      any_text = true;
    } else if (name == "elision") {
      const std::string between = text_of(child);
      lyric.text += between.empty() ? "\u203F" : between;  // the undertie
    }
  });
  if (any_text) note.lyrics.push_back(std::move(lyric));
}

}  // namespace fifthpeg::musicxml::reader
