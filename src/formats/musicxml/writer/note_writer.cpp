#include "formats/musicxml/writer/note_writer.hpp"

#include <algorithm>
#include <cstdlib>
#include <string>

#include "engraving/tuplets.hpp"
#include "formats/musicxml/conventions.hpp"
#include "formats/musicxml/writer/note_value_writer.hpp"
#include "formats/musicxml/writer/pitch_writer.hpp"

namespace fifthpeg::musicxml::writer {
namespace {

constexpr int octaves_written_above = 1;  // banjo music is written an octave up (common practice)

std::string_view finger_text(FretFinger finger) {
  constexpr std::array<std::string_view, 6> texts{"0", "1", "2", "3", "4", "T"};
  return texts[std::min<std::size_t>(static_cast<std::size_t>(finger), texts.size() - 1)];
}

std::string_view picking_finger_text(PickingFinger picking_finger) {
  constexpr std::array<std::string_view, 5> texts{"T", "I", "M", "R", "L"};
  return texts[std::min<std::size_t>(static_cast<std::size_t>(picking_finger), texts.size() - 1)];
}

std::string_view beam_text(engraving::Beam beam) {
  constexpr std::array<std::string_view, 6> texts{"",    "begin",        "continue",
                                                  "end", "forward hook", "backward hook"};
  return texts[static_cast<std::size_t>(beam)];
}

std::string_view syllabic_text(Syllabic syllabic) {
  constexpr std::array<std::string_view, 4> texts{"single", "begin", "middle", "end"};
  return texts[std::min<std::size_t>(static_cast<std::size_t>(syllabic), texts.size() - 1)];
}

// accidental-value; what is altered by more than three half steps has no sign.
std::string_view accidental_text(int alter) {
  switch (alter) {
    case -3:
      return "triple-flat";
    case -2:
      return "flat-flat";
    case -1:
      return "flat";
    case 0:
      return "natural";
    case 1:
      return "sharp";
    case 2:
      return "double-sharp";
    case 3:
      return "triple-sharp";
    default:
      return {};
  }
}

// XML 1.0 NMTOKEN, of ASCII characters only.
bool is_name_token(std::string_view text) {
  return !text.empty() && std::all_of(text.begin(), text.end(), [](unsigned char c) {
    return (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || c == '-' ||
           c == '_' || c == '.' || c == ':';
  });
}

bool has_slur(Technique technique) {
  return technique == Technique::hammer_on || technique == Technique::pull_off ||
         technique == Technique::slur;
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
  xml_.open("note");
  xml_.open("rest");
  if (piece.measure_rest) xml_.attribute("measure", "yes");
  xml_.close();
  // A grace rest is unsound and cannot be said; it takes no time.
  xml_.leaf("duration", std::max<std::int64_t>(1, grid_->in_divisions(piece.duration)));
  xml_.leaf("voice", staff_.voice);
  write_value();
  write_time_modification();
  if (staff_.number != 0) xml_.leaf("staff", staff_.number);
  write_notations(nullptr, 0);
  write_lyrics();
  xml_.close();
}

void NoteWriter::write_pitch_of(const Note& note) {
  Pitch written = note.pitch;
  written.octave = static_cast<std::int8_t>(std::min(written.octave + octaves_written_above, 127));
  xml_.open("pitch");
  write_pitch(written, note_names, xml_, report_);
  xml_.close();
}

bool NoteWriter::ties_back(const Note& note) const {
  return !is_grace() && (!piece_->first || note.tied_from_previous);
}

bool NoteWriter::ties_on(const Note& note) const {
  return !is_grace() && (!piece_->last || note.tied_to_next);
}

void NoteWriter::write_note(std::size_t index, engraving::Accidentals& accidentals) {
  const Note& note = stroke_->notes[index];
  xml_.open("note");
  if (is_grace()) {
    xml_.open("grace");
    if (stroke_->grace == Grace::slashed) xml_.attribute("slash", "yes");
    xml_.close();
  }
  if (index > 0) xml_.empty("chord");
  write_pitch_of(note);
  const bool back = ties_back(note);
  if (!is_grace()) {
    xml_.leaf("duration", grid_->in_divisions(piece_->duration));
    if (back) {
      xml_.empty("tie", "type", "stop");
    }
    if (ties_on(note)) {
      xml_.empty("tie", "type", "start");
    }
  }
  xml_.leaf("voice", staff_.voice);
  write_value();
  if (staff_.notation && !back) {
    const auto alter = accidentals.before(note.pitch);
    const std::string_view sign = alter ? accidental_text(*alter) : std::string_view{};
    if (!sign.empty()) xml_.leaf("accidental", sign);
  }
  write_time_modification();
  if (note.dead) xml_.leaf("notehead", "x");
  if (staff_.number != 0) xml_.leaf("staff", staff_.number);
  if (index == 0) write_beams();
  write_notations(&note, index);
  if (index == 0) write_lyrics();
  xml_.close();
}

void NoteWriter::write_value() {
  const engraving::NoteValue value = piece_->value;
  if (!value) return;
  write_note_value(value, "type", "dot", xml_);
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
  xml_.open("time-modification");
  xml_.leaf("actual-notes", actual);
  xml_.leaf("normal-notes", normal);
  if (stroke_->tuplets.size() == 1 && value && unit && (unit != value || value.dots > 0)) {
    write_note_value(unit, "normal-type", "normal-dot", xml_);
  }
  xml_.close();
}

void NoteWriter::write_beams() {
  for (std::size_t level = 0; level < piece_->beams.size(); ++level) {
    if (piece_->beams[level] == engraving::Beam::none) return;
    xml_.open("beam");
    xml_.attribute("number", static_cast<std::int64_t>(level + 1));
    xml_.content(beam_text(piece_->beams[level]));
    xml_.close();
  }
}

void NoteWriter::open_notations() {
  if (open_.notations) return;
  xml_.open("notations");
  open_.notations = true;
}

void NoteWriter::open_technical() {
  if (open_.technical) return;
  open_notations();
  xml_.open("technical");
  open_.technical = true;
}

void NoteWriter::write_notations(const Note* note, std::size_t index) {
  open_ = {};
  if (note != nullptr) {
    const Numbers numbers = link(*note);
    write_tied(*note);
    write_slurs_and_slides(*note, numbers);
    if (index == 0) write_tuplets();
    write_technical(*note, numbers);
    if (open_.technical) xml_.close();
  } else {
    write_tuplets();
  }
  if (index == 0 && piece_->first && staff_.leading) write_articulations();
  if (stroke_->brush != Brush::none && piece_->first) {
    open_notations();
    xml_.open("arpeggiate");
    if (stroke_->brush != Brush::plain)
      xml_.attribute("direction", stroke_->brush == Brush::up ? "up" : "down");
    xml_.close();
  }
  if (open_.notations) xml_.close();
}

NoteWriter::Numbers NoteWriter::link(const Note& note) {
  LinkedNumbers& links = staff_.leading ? leading_links_ : second_links_;
  Numbers numbers;
  if (piece_->first && note.into != Technique::none) numbers.into = links.stop(note.into, note);
  if (piece_->last && note.out_of != Technique::none) numbers.out_of = links.start(note.out_of, note);
  return numbers;
}

void NoteWriter::write_tied(const Note& note) {
  const auto tied = [this](std::string_view type) {
    open_notations();
    xml_.empty("tied", "type", type);
  };
  if (ties_back(note)) tied("stop");
  if (ties_on(note)) tied("start");
  if (piece_->last && note.ring == Ring::let_ring) tied("let-ring");
}

void NoteWriter::write_slurs_and_slides(const Note& note, Numbers numbers) {
  const auto side = [&](Technique technique, bool start) {
    const bool slide = technique == Technique::slide;
    if (!slide && !has_slur(technique)) return;
    open_notations();
    xml_.open(slide ? "slide" : "slur");
    xml_.attribute("type", start ? "start" : "stop");
    xml_.attribute("number", start ? numbers.out_of : numbers.into);
    if (slide) xml_.attribute("line-type", "solid");
    xml_.close();
  };
  if (piece_->first) side(note.into, false);
  if (piece_->last) side(note.out_of, true);
}

void NoteWriter::write_technique(Technique technique, bool start, int number) {
  if (technique != Technique::hammer_on && technique != Technique::pull_off) return;
  const bool hammer = technique == Technique::hammer_on;
  open_technical();
  xml_.open(hammer ? "hammer-on" : "pull-off");
  xml_.attribute("type", start ? "start" : "stop");
  xml_.attribute("number", number);
  if (start) xml_.content(hammer ? "H" : "P");
  xml_.close();
}

void NoteWriter::write_technical(const Note& note, Numbers numbers) {
  if (piece_->first) {
    write_technique(note.into, false, numbers.into);
    if (note.finger) {
      open_technical();
      xml_.leaf("fingering", finger_text(*note.finger));
    }
    if (note.picking_finger) {
      open_technical();
      if (*note.picking_finger == PickingFinger::nail) {
        xml_.empty("fingernails");
      } else {
        xml_.leaf("pluck", picking_finger_text(*note.picking_finger));
      }
    }
  }
  if (note.harmonic) {
    open_technical();
    xml_.open("harmonic");
    xml_.empty("natural");
    xml_.close();
  }
  if (note.placement) write_placement(*note.placement);
  if (note.choke && piece_->first) write_choke(*note.choke);
  if (!piece_->last) return;
  write_technique(note.out_of, true, numbers.out_of);
  if (note.ring == Ring::damp) {
    open_technical();
    xml_.open("other-technical");
    xml_.attribute("smufl", "pluckedDamp");
    xml_.content(damp_text);
    xml_.close();
  }
}

void NoteWriter::write_placement(const Placement& placement) {
  int fret = int{placement.fret};
  if (fifth_frets_ == FifthFrets::from_own_nut && placement.string == fifth_string && fret > 0) {
    fret += banjo_.capo - banjo_.fifth_capo;
  }
  if (placement.string < 1 || fret < 0) {
    report_.add(EntryKind::loss, "musicxml-placement", "a string or fret that does not exist was left out");
    return;
  }
  open_technical();
  xml_.leaf("string", placement.string);
  xml_.leaf("fret", fret);
}

void NoteWriter::write_choke(const Choke& choke) {
  const auto alter = [this](int cents) {
    const int size = std::abs(cents);
    std::string text = cents < 0 ? "-" : "";
    text += std::to_string(size / 100);
    if (size % 100 != 0) {
      text += '.';
      text += static_cast<char>('0' + size % 100 / 10);
      if (size % 10 != 0) text += static_cast<char>('0' + size % 10);
    }
    xml_.leaf("bend-alter", text);
  };
  open_technical();
  xml_.open("bend");
  alter(choke.cents);
  if (choke.before) xml_.empty("pre-bend");
  xml_.close();
  if (!choke.release) return;
  xml_.open("bend");
  alter(-choke.cents);
  xml_.empty("release");
  xml_.close();
}

void NoteWriter::write_tuplets() {
  if (stroke_->tuplets.empty()) return;
  const std::size_t levels = std::min(stroke_->tuplets.size(), engraving::most_tuplet_levels);
  const auto portion = [this](const char* name, int count, engraving::NoteValue unit) {
    xml_.open(name);
    xml_.leaf("tuplet-number", count);
    if (unit) {
      write_note_value(unit, "tuplet-type", "tuplet-dot", xml_);
    }
    xml_.close();
  };
  std::size_t group = next_group_;
  for (std::size_t level = 0; piece_->first && level < levels; ++level) {
    const Tuplet& tuplet = stroke_->tuplets[level];
    if (!tuplet.starts) continue;
    const engraving::TupletGroup& info = engraving_->groups[group++];
    open_notations();
    xml_.open("tuplet");
    xml_.attribute("type", "start");
    xml_.attribute("number", static_cast<std::int64_t>(level + 1));
    xml_.attribute("bracket", info.bracket ? "yes" : "no");
    portion("tuplet-actual", std::max<int>(tuplet.actual, 0), info.unit);
    portion("tuplet-normal", std::max<int>(tuplet.normal, 0), info.unit);
    xml_.close();
  }
  for (std::size_t level = levels; piece_->last && level > 0; --level) {
    if (!stroke_->tuplets[level - 1].stops) continue;
    open_notations();
    xml_.open("tuplet");
    xml_.attribute("type", "stop");
    xml_.attribute("number", static_cast<std::int64_t>(level));
    xml_.close();
  }
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
  if (marks.accent || marks.strong_accent || marks.staccato || marks.tenuto) {
    open_notations();
    xml_.open("articulations");
    if (marks.accent) xml_.empty("accent");
    if (marks.strong_accent) xml_.empty("strong-accent");
    if (marks.staccato) xml_.empty("staccato");
    if (marks.tenuto) xml_.empty("tenuto");
    xml_.close();
  }
  if (marks.fermata) {
    open_notations();
    xml_.empty("fermata");
  }
}

void NoteWriter::write_lyrics() {
  if (!staff_.leading || !piece_->first) return;
  for (const Lyric& lyric : stroke_->lyrics) {
    xml_.open("lyric");
    if (is_name_token(lyric.verse)) {
      xml_.attribute("number", lyric.verse);
    } else {
      xml_.text_attribute("name", lyric.verse);
    }
    xml_.leaf("syllabic", syllabic_text(lyric.syllabic));
    xml_.text_leaf("text", lyric.text);
    xml_.close();
  }
}

}  // namespace fifthpeg::musicxml::writer
