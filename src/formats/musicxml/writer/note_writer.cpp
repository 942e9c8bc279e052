#include "formats/musicxml/writer/note_writer.hpp"

#include <algorithm>
#include <cstdlib>

#include "engraving/tuplets.hpp"
#include "formats/musicxml/conventions.hpp"
#include "formats/musicxml/decimal.hpp"
#include "formats/musicxml/names.hpp"
#include "formats/musicxml/writer/value_writer.hpp"

namespace fifthpeg::musicxml::writer {
namespace {

constexpr int octaves_written_above = 1;  // banjo music is written an octave up (common practice)

constexpr Names<6> beam_names{"", "begin", "continue", "end", "forward hook", "backward hook"};

// accidental-value, from three half steps down to three up; beyond that there is no sign.
constexpr Names<7> accidental_names{"triple-flat", "flat-flat",    "flat",        "natural",
                                    "sharp",       "double-sharp", "triple-sharp"};

// XML 1.0 NMTOKEN, of ASCII characters only.
bool is_name_token(std::string_view text) {
  return !text.empty() && std::all_of(text.begin(), text.end(), [](unsigned char c) {
    return (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || c == '-' ||
           c == '_' || c == '.' || c == ':';
  });
}

}  // namespace

void NoteWriter::start(const StaffRole& staff, const Measure& measure, const engraving::Grid& grid,
                       const engraving::Engraving& engraving) {
  staff_ = staff;
  measure_ = &measure;
  grid_ = &grid;
  engraving_ = &engraving;
  next_group_ = 0;
  tuplet_unit_ = {};
}

void NoteWriter::write(std::size_t piece, engraving::Accidentals& accidentals) {
  piece_ = &engraving_->pieces[piece];
  stroke_ = &measure_->strokes[piece_->stroke];
  if (stroke_->is_rest()) {
    write_rest(*piece_);
  } else {
    (staff_.leading ? leading_links_ : second_links_).next_stroke();
    for (std::size_t i = 0; i < stroke_->notes.size(); ++i) write_note(i, accidentals);
  }
  if (!stroke_->tuplets.empty()) advance_tuplets();
}

void NoteWriter::write_rest(const engraving::Piece& piece) {
  const Within element(xml_, "note");
  if (piece.measure_rest) {
    xml_.empty("rest", {{"measure", "yes"}});
  } else {
    xml_.empty("rest");
  }
  // A grace rest is unsound and cannot be said; it takes no time.
  xml_.leaf("duration", std::max<std::int64_t>(1, grid_->in_divisions(piece.duration)));
  xml_.leaf("voice", staff_.voice);
  write_value();
  write_time_modification();
  if (staff_.number != 0) xml_.leaf("staff", staff_.number);
  write_notations(nullptr, 0);
  write_lyrics();
}

void NoteWriter::write_pitch_of(const Note& note) {
  Pitch written = note.pitch;
  written.octave = static_cast<std::int8_t>(std::min(written.octave + octaves_written_above, 127));
  const Within pitch(xml_, "pitch");
  write_pitch(written, note_names, xml_, report_);
}

bool NoteWriter::ties_back(const Note& note) const {
  return !is_grace() && (!piece_->first || note.tied_from_previous);
}

bool NoteWriter::ties_on(const Note& note) const {
  return !is_grace() && (!piece_->last || note.tied_to_next);
}

void NoteWriter::write_note(std::size_t index, engraving::Accidentals& accidentals) {
  const Note& note = stroke_->notes[index];
  const Within element(xml_, "note");
  if (stroke_->grace == Grace::slashed) {
    xml_.empty("grace", {{"slash", "yes"}});
  } else if (is_grace()) {
    xml_.empty("grace");
  }
  if (index > 0) xml_.empty("chord");
  write_pitch_of(note);
  const bool back = ties_back(note);
  if (!is_grace()) {
    xml_.leaf("duration", grid_->in_divisions(piece_->duration));
    if (back) xml_.empty("tie", {{"type", "stop"}});
    if (ties_on(note)) xml_.empty("tie", {{"type", "start"}});
  }
  xml_.leaf("voice", staff_.voice);
  write_value();
  if (staff_.notation && !back) {
    const auto alter = accidentals.before(note.pitch);
    if (alter && std::abs(*alter) <= 3) xml_.leaf("accidental", name_of(*alter + 3, accidental_names));
  }
  write_time_modification();
  if (note.dead) xml_.leaf("notehead", "x");
  if (staff_.number != 0) xml_.leaf("staff", staff_.number);
  if (index == 0) write_beams();
  write_notations(&note, index);
  if (index == 0) write_lyrics();
  write_role(note);
}

void NoteWriter::write_value() {
  if (piece_->value) write_note_value(piece_->value, "type", "dot", xml_);
}

void NoteWriter::write_time_modification() {
  if (stroke_->tuplets.empty()) return;
  constexpr std::int64_t limit = std::int64_t{1} << 24;
  std::int64_t actual = 1;
  std::int64_t normal = 1;
  for (const Tuplet& tuplet : stroke_->tuplets) {
    actual *= std::max<std::int64_t>(tuplet.actual, 0);
    normal *= std::max<std::int64_t>(tuplet.normal, 0);
    if (actual > limit || normal > limit) return;
  }
  const engraving::NoteValue value = piece_->value;
  const std::size_t group = next_group_;
  engraving::NoteValue unit = tuplet_unit_;
  if (piece_->first && stroke_->tuplets.front().starts && group < engraving_->groups.size()) {
    unit = engraving_->groups[group].unit;
  }
  const Within modification(xml_, "time-modification");
  xml_.leaf("actual-notes", actual);
  xml_.leaf("normal-notes", normal);
  if (stroke_->tuplets.size() == 1 && value && unit && (unit != value || value.dots > 0)) {
    write_note_value(unit, "normal-type", "normal-dot", xml_);
  }
}

void NoteWriter::write_beams() {
  for (std::size_t level = 0; level < piece_->beams.size(); ++level) {
    if (piece_->beams[level] == engraving::Beam::none) return;
    xml_.leaf("beam", name_of(piece_->beams[level], beam_names), {{"number", level + 1}});
  }
}

void NoteWriter::write_notations(const Note* note, std::size_t index) {
  const WithinIfAny notations(xml_, "notations");
  if (note != nullptr) {
    const Numbers numbers = link(*note);
    write_tied(*note);
    write_slurs_and_slides(*note, numbers);
    if (index == 0) write_tuplets();
    write_technical(*note, numbers);
  } else {
    write_tuplets();
  }
  if (index == 0 && piece_->first && staff_.leading) write_articulations();
  if (stroke_->brush == Brush::none || !piece_->first) return;
  const Within arpeggiate(xml_, "arpeggiate");
  if (stroke_->brush != Brush::plain)
    xml_.attribute("direction", stroke_->brush == Brush::up ? "up" : "down");
}

NoteWriter::Numbers NoteWriter::link(const Note& note) {
  LinkedNumbers& links = staff_.leading ? leading_links_ : second_links_;
  Numbers numbers;
  if (piece_->first && note.into != Technique::none) numbers.into = links.stop(note.into, note);
  if (piece_->last && note.out_of != Technique::none) numbers.out_of = links.start(note.out_of, note);
  return numbers;
}

void NoteWriter::write_tied(const Note& note) {
  if (ties_back(note)) xml_.empty("tied", {{"type", "stop"}});
  if (ties_on(note)) xml_.empty("tied", {{"type", "start"}});
  if (piece_->last && note.ring == Ring::let_ring) xml_.empty("tied", {{"type", "let-ring"}});
}

void NoteWriter::write_slurs_and_slides(const Note& note, Numbers numbers) {
  const auto side = [this](Technique technique, std::string_view type, int number) {
    if (technique == Technique::slide) {
      xml_.empty("slide", {{"type", type}, {"number", number}, {"line-type", "solid"}});
    } else if (technique != Technique::none) {
      xml_.empty("slur", {{"type", type}, {"number", number}});
    }
  };
  if (piece_->first) side(note.into, "stop", numbers.into);
  if (piece_->last) side(note.out_of, "start", numbers.out_of);
}

void NoteWriter::write_technique(Technique technique, bool start, int number) {
  if (technique != Technique::hammer_on && technique != Technique::pull_off) return;
  const bool hammer = technique == Technique::hammer_on;
  const std::string_view letter = hammer ? "H" : "P";
  xml_.leaf(hammer ? "hammer-on" : "pull-off", start ? letter : std::string_view{},
            {{"type", start ? "start" : "stop"}, {"number", number}});
}

void NoteWriter::write_technical(const Note& note, Numbers numbers) {
  const WithinIfAny technical(xml_, "technical");
  if (piece_->first) {
    write_technique(note.into, false, numbers.into);
    if (staff_.leading) write_finger(note);
    if (staff_.picking_fingers) write_picking_finger(note);
  }
  if (note.harmonic) {
    const Within harmonic(xml_, "harmonic");
    xml_.empty("natural");
  }
  if (note.placement) write_placement(*note.placement);
  if (note.choke && piece_->first) write_choke(*note.choke);
  if (!piece_->last) return;
  write_technique(note.out_of, true, numbers.out_of);
  if (note.ring == Ring::damp) xml_.leaf("other-technical", damp_text, {{"smufl", "pluckedDamp"}});
}

void NoteWriter::write_finger(const Note& note) {
  if (!note.finger || finger_is_plain(note)) return;
  if (note.finger == FretFinger::thumb) {
    xml_.leaf("other-technical", thumb_text);
  } else {
    xml_.leaf("fingering", name_of(*note.finger, fingering_names));
  }
}

void NoteWriter::write_picking_finger(const Note& note) {
  if (note.picking_finger == PickingFinger::nail) {
    xml_.empty("fingernails");
  } else if (note.picking_finger) {
    xml_.leaf("pluck", name_of(*note.picking_finger, pluck_names));
  }
}

void NoteWriter::write_placement(const Placement& placement) {
  int fret = int{placement.fret};
  if (options_.fifth_frets == FifthFrets::from_own_nut && placement.string == fifth_string && fret > 0) {
    fret += banjo_.capo - banjo_.fifth_capo;
  }
  if (placement.string < 1 || fret < 0) {
    report_.add(EntryKind::loss, "musicxml-placement", "a string or fret that does not exist was left out");
    return;
  }
  xml_.leaf("string", placement.string);
  xml_.leaf("fret", fret);
}

void NoteWriter::write_choke(const Choke& choke) {
  const auto write = [this](int cents, const char* how) {
    const Within bend(xml_, "bend");
    xml_.leaf("bend-alter", short_decimal(Fraction(cents, 100), 2));
    if (how != nullptr) xml_.empty(how);
  };
  write(choke.cents, choke.before ? "pre-bend" : nullptr);
  if (choke.release) write(-choke.cents, "release");
}

void NoteWriter::write_tuplets() {
  if (stroke_->tuplets.empty()) return;
  const std::size_t levels = std::min(stroke_->tuplets.size(), engraving::most_tuplet_levels);
  const auto portion = [this](const char* name, int count, engraving::NoteValue unit) {
    const Within element(xml_, name);
    xml_.leaf("tuplet-number", count);
    if (unit) write_note_value(unit, "tuplet-type", "tuplet-dot", xml_);
  };
  std::size_t group = next_group_;
  for (std::size_t level = 0; piece_->first && level < levels; ++level) {
    const Tuplet& tuplet = stroke_->tuplets[level];
    if (!tuplet.starts) continue;
    const engraving::TupletGroup& info = engraving_->groups[group++];
    const Within element(
        xml_, "tuplet", {{"type", "start"}, {"number", level + 1}, {"bracket", info.bracket ? "yes" : "no"}});
    portion("tuplet-actual", std::max<int>(tuplet.actual, 0), info.unit);
    portion("tuplet-normal", std::max<int>(tuplet.normal, 0), info.unit);
  }
  for (std::size_t level = levels; piece_->last && level > 0; --level)
    if (stroke_->tuplets[level - 1].stops) xml_.empty("tuplet", {{"type", "stop"}, {"number", level}});
  if (stroke_->tuplets.size() > engraving::most_tuplet_levels) {
    report_.add(EntryKind::loss, "musicxml-tuplet-levels", "tuplets nested deeper than MusicXML can number");
  }
}

void NoteWriter::advance_tuplets() {
  const std::size_t levels = std::min(stroke_->tuplets.size(), engraving::most_tuplet_levels);
  for (std::size_t level = 0; piece_->first && level < levels; ++level) {
    if (!stroke_->tuplets[level].starts) continue;
    if (level == 0) tuplet_unit_ = engraving_->groups[next_group_].unit;
    ++next_group_;
  }
  if (piece_->last && stroke_->tuplets.front().stops) tuplet_unit_ = {};
}

void NoteWriter::write_articulations() {
  const Articulations& marks = stroke_->articulations;
  {
    const WithinIfAny articulations(xml_, "articulations");
    if (marks.accent) xml_.empty("accent");
    if (marks.strong_accent) xml_.empty("strong-accent");
    if (marks.staccato) xml_.empty("staccato");
    if (marks.tenuto) xml_.empty("tenuto");
  }
  if (marks.fermata) xml_.empty("fermata");
}

void NoteWriter::write_picking_lyric() {
  std::string fingers;  // the lowest note first
  for (const Note& note : stroke_->notes) {
    if (!note.picking_finger) continue;
    fingers.insert(0, note.picking_finger == PickingFinger::nail
                          ? nail_letter
                          : name_of(*note.picking_finger, pluck_names));
  }
  if (fingers.empty()) return;
  const Within element(xml_, "lyric", {{"number", picking_verse}});
  xml_.leaf("syllabic", name_of(Syllabic::single, syllabic_names));
  xml_.leaf("text", fingers);
}

void NoteWriter::write_lyrics() {
  if (!piece_->first) return;
  if (staff_.picking_fingers && options_.picking_fingers == PickingFingers::lyrics) write_picking_lyric();
  if (!staff_.leading) return;
  for (const Lyric& lyric : stroke_->lyrics) {
    const char* const verse = is_name_token(lyric.verse) ? "number" : "name";
    const Within element(xml_, "lyric", {{verse, xml_.attribute_text(lyric.verse)}});
    xml_.leaf("syllabic", name_of(lyric.syllabic, syllabic_names));
    xml_.leaf("text", xml_.text(lyric.text));
  }
}

void NoteWriter::write_role(const Note& note) {
  if (note.role == Role::none) return;
  const Within play(xml_, "play");
  xml_.leaf("other-play", to_string(note.role), {{"type", role_type}});
}

}  // namespace fifthpeg::musicxml::writer
