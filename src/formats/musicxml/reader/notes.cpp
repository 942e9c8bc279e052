// `note`: pitch, duration, printed value, voice, staff.
#include <algorithm>
#include <cstdlib>

#include "formats/musicxml/conventions.hpp"
#include "formats/musicxml/part_reader.hpp"

namespace fifthpeg::musicxml::reader {
namespace {

struct WrittenPitch {
  std::optional<Step> letter;
  Fraction alter;
  std::optional<int> octave;
};

WrittenPitch read_pitch(const Element& element) {
  return {step(child_token(element, "step")), decimal(child_token(element, "alter")).value_or(0),
          whole_number(child_token(element, "octave"))};
}

// Moves a written pitch to where it sounds. Nothing if that is no pitch of MIDI.
std::optional<Pitch> sounding(const WrittenPitch& written, int staff, const Element& element,
                              PartState& state) {
  if (!written.letter || !written.octave || *written.octave < -1 || *written.octave > 12) return std::nullopt;
  if (written.alter > 12 || written.alter < -12) return std::nullopt;
  int alter = static_cast<int>(written.alter.num());
  if (!written.alter.is_whole()) {
    alter = static_cast<int>((written.alter + Fraction(1, 2)).floor());
    state.diagnostics.loss("musicxml-microtone",
                           "a pitch between two half steps was read as the nearest half step", element);
  }
  const Transposition& by = state.transpositions.at(static_cast<std::size_t>(staff));
  Pitch pitch{*written.letter, static_cast<std::int8_t>(alter), static_cast<std::int8_t>(*written.octave)};
  const int midi = pitch.midi() + by.half_steps;
  if (midi < 0 || midi > 127) return std::nullopt;
  if (std::abs(alter) > 2) {  // a triple accidental
    pitch = spell(midi, state.key);
  } else if (by.is_octaves()) {
    pitch.octave = static_cast<std::int8_t>(pitch.octave + by.half_steps / 12);
  } else {
    pitch = moved(pitch, by.move_in(state.written_key));
  }
  return pitch;
}

std::uint16_t voice_index(std::string_view name, PartState& state) {
  if (name == state.last_voice_name && !state.voices.empty()) return state.last_voice;
  constexpr std::size_t most = 60000;
  const auto next = static_cast<std::uint16_t>(std::min(state.voices.size(), most));
  const auto [found, is_new] = state.voices.emplace(std::string(name), next);
  state.last_voice = found->second;
  state.last_voice_name = found->first;
  if (is_new && state.part.voice_names.size() < most) state.part.voice_names.emplace_back(name);
  return state.last_voice;
}

struct NoteBody {  // what is known once the children are walked
  WrittenPitch pitch;
  bool has_pitch = false;
  std::optional<Fraction> duration;
};

void read_tie(const Element& element, RawNote& note, PartState& state) {
  const std::string_view type = attribute(element, "type");
  const bool start = type == "start";
  if (!start && type != "stop") return;
  (start ? note.note.tied_to_next : note.note.tied_from_previous) = true;
  note.marks.push_back({Mark::Kind::tie, start, 1, 0, 0, state.diagnostics.line_of(element)});
}

void read_time_modification(const Element& element, RawNote& note) {
  // normal-type and normal-dot repeat what the durations say
  note.actual = whole_number(child_token(element, "actual-notes")).value_or(0);
  note.normal = whole_number(child_token(element, "normal-notes")).value_or(0);
  constexpr int most = 1024;
  if (note.actual < 1 || note.normal < 1 || note.actual > most || note.normal > most) {
    note.actual = note.normal = 1;
  }
}

void read_notehead(const Element& element, RawNote& note, PartState& state) {
  const std::string_view head = token_of(element);
  if (head == "x" || head == "cross") {
    note.note.dead = true;
  } else if (head == "none") {
    state.diagnostics.layout_left();
  } else if (head != "normal") {
    state.diagnostics.loss("musicxml-element-notehead",
                           "a notehead of another shape than normal or x is left out", element);
  }
}

// Which of the part's instruments: a banjo score has one.
void read_instrument(const Element& element, PartState& state) {
  const char* const id = element.Attribute("id");
  if (id == nullptr) return;
  if (state.instrument.empty()) state.instrument = id;
  if (state.instrument != id) {
    state.diagnostics.loss("musicxml-instrument", "a change to another instrument of the part is left out",
                           element);
  }
}

// What a note is for; all else that is said of its playing is told, as the whole element where that is all.
void read_play(const Element& element, RawNote& note, PartState& state) {
  const auto is_role = [](const Element& child) {
    return std::string_view(child.Name()) == "other-play" && attribute(child, "type") == musicxml::role_type;
  };
  bool any_role = false;
  each_child(element, [&](const Element& child, std::string_view) { any_role = any_role || is_role(child); });
  if (!any_role) {
    state.diagnostics.unread(element);
    return;
  }
  each_child(element, [&](const Element& child, std::string_view) {
    if (!is_role(child)) {
      state.diagnostics.unread(child);
      return;
    }
    const auto role = parse_role(token_of(child));
    if (role && (note.note.role == Role::none || note.note.role == *role)) {
      note.note.role = *role;
      return;
    }
    state.diagnostics.loss("musicxml-role",
                           role ? "a second role of one note is left out"
                                : "a role that is not one of melody, fill, drone, lick, kick-off and backup "
                                  "is left out",
                           child);
  });
}

void read_child(const Element& child, std::string_view name, RawNote& note, NoteBody& body,
                PartState& state) {
  if (name == "pitch") {
    body.pitch = read_pitch(child);
    body.has_pitch = true;
    note.kind = RawNote::Kind::pitched;
  } else if (name == "duration") {
    state.expect_divisions(note.line);
    body.duration = duration_of(child, state);
  } else if (name == "voice") {
    note.voice = voice_index(token_of(child), state);
  } else if (name == "type") {
    note.typed = true;
    note.type = engraving::type_named(token_of(child));
  } else if (name == "dot") {
    if (note.dots < 8) ++note.dots;
  } else if (name == "notations") {
    read_notations(child, note, state);
  } else if (name == "staff") {
    note.staff =
        static_cast<std::uint8_t>(std::clamp(whole_number(token_of(child)).value_or(1), 1, most_staves));
  } else if (name == "chord") {
    note.chord = true;
  } else if (name == "rest") {
    note.kind = RawNote::Kind::rest;
    note.measure_rest = is_yes(attribute(child, "measure"));
  } else if (name == "unpitched") {
    note.kind = RawNote::Kind::unpitched;
  } else if (name == "grace") {
    note.grace = is_yes(attribute(child, "slash")) ? Grace::slashed : Grace::plain;
  } else if (name == "cue") {
    note.cue = true;
  } else if (name == "tie") {
    read_tie(child, note, state);
  } else if (name == "time-modification") {
    read_time_modification(child, note);
  } else if (name == "notehead") {
    read_notehead(child, note, state);
  } else if (name == "lyric") {
    read_lyric(child, note, state);
  } else if (name == "instrument") {
    read_instrument(child, state);
  } else if (name == "play") {
    read_play(child, note, state);
  }
}

Fraction printed_duration(const RawNote& note) {
  return note.printed * Fraction(note.normal, note.actual);
}

// The duration of the note, by `duration`, or where that is missing or no length of time, by its type.
Fraction settle_duration(const RawNote& note, const NoteBody& body, const Element& element,
                         PartState& state) {
  const Fraction printed = printed_duration(note);
  if (!body.duration || *body.duration <= 0) {
    state.diagnostics.repair("musicxml-duration-missing",
                             "a note without a duration was given the one that is printed, or a quarter",
                             element);
    return printed > 0 ? printed : Fraction(1, 4);
  }
  if (!state.part.divisions) {
    // Without divisions no duration means anything; the first printed value gives them.
    const Fraction divisions = printed > 0 ? *body.duration / printed : Fraction(1);
    const Fraction result = *body.duration / divisions;
    state.part.divisions = divisions;
    state.last_duration_text = {};
    state.diagnostics.repair("musicxml-divisions-missing",
                             "the divisions are missing; they were inferred from a note's value", element);
    return result;
  }
  return *body.duration;
}

}  // namespace

void read_note(const Element& element, PartState& state) {
  RawNote note;
  note.line = state.diagnostics.line_of(element);
  NoteBody body;
  // What is not printed sounds all the same.
  if (const char* const printed = element.Attribute("print-object"); printed != nullptr && !is_yes(printed))
    state.diagnostics.layout_left();
  each_child(element, [&](const Element& child, std::string_view name) {
    read_child(child, name, note, body, state);
  });
  if (note.type) {
    note.printed = dotted(Fraction(engraving::length_in_units(note.type), engraving::value_units), note.dots);
  }

  if (note.grace == Grace::none) {
    note.duration = settle_duration(note, body, element, state);
  } else {
    if (note.printed <= 0) note.printed = Fraction(1, 8);
    note.note.tied_to_next = note.note.tied_from_previous = false;
  }
  const bool grace = note.grace != Grace::none;
  const bool in_chord = note.chord && state.any_note && state.after_grace == grace;
  if (note.chord && (!in_chord || state.after_rest))
    state.measure->written->chords_alone.push_back(note.line);
  if (in_chord) {
    note.onset = state.chord_onset;
  } else {
    if (note.chord) {
      state.diagnostics.repair("musicxml-chord-alone",
                               "a chord note without a note before it stands by itself", element);
      note.chord = false;
    }
    note.onset = state.position;
    state.chord_onset = state.position;
    state.position += note.duration;
    state.any_note = true;
  }
  state.after_rest = note.kind == RawNote::Kind::rest;
  state.after_grace = grace;
  state.diagnostics.move_to(note.onset);
  if (note.cue) {
    state.diagnostics.loss("musicxml-cue", "cue notes are left out", element);
    note.left_out = true;
  }
  if (body.has_pitch && !note.cue) {
    const auto pitch = sounding(body.pitch, note.staff, element, state);
    if (!pitch) {
      state.diagnostics.loss("musicxml-pitch", "a pitch that no instrument has was left out", element);
      note.left_out = note.grace != Grace::none || note.chord;
      note.kind = RawNote::Kind::unpitched;
    } else {
      note.note.pitch = *pitch;
      note.written = {*body.pitch.letter, static_cast<std::int8_t>(body.pitch.alter.floor()),
                      static_cast<std::int8_t>(*body.pitch.octave)};
    }
  }
  if (note.left_out) {
    if (note.kind == RawNote::Kind::pitched) note.kind = RawNote::Kind::unpitched;
  } else {
    RawStaff& staff = state.part.staves.at(note.staff);
    if (note.kind == RawNote::Kind::pitched) ++staff.notes;
    if (note.string && note.fret) ++staff.placed;
  }
  state.measure->notes.push_back(std::move(note));
}

}  // namespace fifthpeg::musicxml::reader
