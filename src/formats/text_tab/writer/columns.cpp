#include "formats/text_tab/writer/columns.hpp"

#include <algorithm>
#include <cstdlib>
#include <string_view>

#include "base/display_width.hpp"
#include "base/text.hpp"
#include "engraving/count.hpp"
#include "engraving/wording.hpp"

namespace fifthpeg::text_tab {
namespace {

constexpr int widest_lyric_room = 8;  // columns that a syllable may claim for itself

int size_of(std::string_view text) {
  return static_cast<int>(text.size());
}

// Whether two fret numbers, or what stands over or under them, would run into each other.
bool collide(const Column& a, const Column& b) {
  for (const auto row : {&Column::marks, &Column::picking, &Column::fingers, &Column::roles}) {
    if (a.lead + size_of(a.*row) == a.width && b.lead == 0 && !(a.*row).empty() && !(b.*row).empty())
      return true;
  }
  for (std::size_t string = 0; string < a.strings.size(); ++string) {
    const std::string& left = a.strings.at(string);
    const std::string& right = b.strings.at(string);
    const bool touch = !left.empty() && size_of(left) == a.width && !right.empty();
    if (touch && right.front() >= '0' && right.front() <= '9') return true;
  }
  return false;
}

// The fret that a choke reaches, "12", or where it lies between two of them, "10.5".
std::string height_of(const Choke& choke, int fret) {
  const int hundredths = fret * 100 + choke.cents;
  const int rest = hundredths % 100;
  std::string text = std::to_string(hundredths / 100);
  if (rest == 0) return text;
  text += "." + std::to_string(rest / 10);
  if (rest % 10 != 0) text += std::to_string(rest % 10);
  return text;
}

// "1 & a" are thirds here. Where signs take so much room that they would look like an eighth and two
// sixteenths, the second third gets more, too.
void keep_thirds_even(std::vector<Column>& columns, const std::vector<std::size_t>& counted) {
  const auto distance = [&](std::size_t from, std::size_t to) {
    int sum = columns[to].lead - columns[from].lead;
    for (std::size_t i = from; i < to; ++i) sum += columns[i].room;
    return sum;
  };
  for (std::size_t i = 0; i + 2 < counted.size(); ++i) {
    const std::size_t one = counted[i];
    const std::size_t two = counted[i + 1];
    const std::size_t three = counted[i + 2];
    if (!columns[one].on_beat || columns[two].count != "&" || columns[three].count != "a") continue;
    const int wanted = distance(one, two) / 2 + 1;
    columns[three - 1].room += std::max(0, wanted - distance(two, three));
  }
}

}  // namespace

std::string ColumnMaker::use(Sign sign) {
  used_.set(static_cast<std::size_t>(sign));
  return std::string(text_of(sign));
}

void ColumnMaker::lose(const char* slug, const char* text, Fraction at) {
  report_.add(EntryKind::loss, slug, text, {{}, measure_->number, beat_at(*measure_, at)});
}

std::vector<Column> ColumnMaker::make(const Measure& measure, bool first, bool last,
                                      std::vector<std::string>& at_end) {
  measure_ = &measure;
  measure_is_last_ = last;
  const std::vector<engraving::CountedPlace> places = engraving::counted_places(measure, first);
  std::vector<Column> columns;
  std::vector<Fraction> offsets;
  // What stands before the frets takes free room from the column before, so that it moves nothing.
  const auto append = [&](Column column, Fraction offset, int wanted) {
    if (!columns.empty()) {
      Column& previous = columns.back();
      if (previous.room == previous.width && collide(previous, column)) ++previous.room;
      previous.room -= std::clamp(previous.room - previous.width - 1, 0, wanted);
    }
    columns.push_back(std::move(column));
    offsets.push_back(offset);
  };
  auto stroke = measure.strokes.begin();
  const auto take_graces = [&](Fraction offset) {
    for (; stroke != measure.strokes.end() && stroke->grace != Grace::none && stroke->onset <= offset;
         ++stroke) {
      Column column = strike(*stroke);
      // A name below the tab takes no room there, but the next one has to stand apart.
      const int room = column.room = std::max(column.width, column.unplaced.empty() ? 0 : 2);
      append(std::move(column), offset, room);
    }
  };
  const auto take_stroke = [&](const engraving::CountedPlace& place) {
    Column column;
    if (stroke != measure.strokes.end() && stroke->onset <= place.offset) column = strike(*stroke++);
    column.count = place.label;
    column.on_beat = place.on_beat;
    column.width = std::max(column.width, column.lead + size_of(column.count));
    column.room = std::max(column.lead + place.room, column.width + 1);
    const int lead = column.lead;
    append(std::move(column), place.offset, lead);
  };
  std::vector<std::size_t> counted;  // the columns of the places
  for (const engraving::CountedPlace& place : places) {
    take_graces(place.offset);
    counted.push_back(columns.size());
    take_stroke(place);
  }
  take_graces(measure.length);
  keep_thirds_even(columns, counted);
  ++measures_;
  if (std::any_of(places.begin(), places.end(),
                  [](const auto& place) { return place.label == engraving::unproportioned_label; })) {
    lose("tab-times", "a beat is divided too finely for its counts to tell how", 0);
  }
  write_over(measure, first, columns, offsets, at_end);
  meter_ = measure.meter;
  key_ = measure.key_changes.empty() ? measure.key : measure.key_changes.back().key;
  return columns;
}

Column ColumnMaker::strike(const Stroke& stroke) {
  Column column;
  const bool grace = stroke.grace != Grace::none;
  for (const Note& note : stroke.notes) {
    if (note.placement) column.lead = std::max(column.lead, size_of(before_fret(note, grace)));
  }
  for (const Note& note : stroke.notes) write_note(note, stroke, column);
  for (const std::string& text : column.strings) column.width = std::max(column.width, size_of(text));
  write_marks(stroke.articulations, column);
  write_picking(stroke, column);
  write_fingers(stroke, column);
  write_roles(stroke, column);
  column.shape = shape_from(stroke);
  for (const Lyric& lyric : stroke.lyrics) {
    column.lyrics.push_back(&lyric);
    column.width = std::max(
        column.width,
        column.lead + std::min(widest_lyric_room, base::display_width(base::one_line(lyric.text)) + 1));
  }
  for (const std::string* row : {&column.marks, &column.picking, &column.fingers, &column.roles}) {
    column.width = std::max(column.width, column.lead + size_of(*row));
  }
  return column;
}

std::string ColumnMaker::shape_from(const Stroke& stroke) {
  const auto index = static_cast<std::size_t>(&stroke - measure_->strokes.data());
  const auto& shapes = style_.shapes;
  const std::pair here(measures_, index);
  while (shapes_ < shapes.size() && std::pair(shapes[shapes_].measure, shapes[shapes_].stroke) < here)
    ++shapes_;
  if (shapes_ == shapes.size() || std::pair(shapes[shapes_].measure, shapes[shapes_].stroke) != here)
    return {};
  return shapes[shapes_].text;
}

void ColumnMaker::write_note(const Note& note, const Stroke& stroke, Column& column) {
  if (!note.placement) {
    use(Sign::unplaced);
    std::string name = to_string(note.pitch);
    if (note.tied_from_previous) name = "(" + name + ")";
    if (stroke.grace != Grace::none) name = use(Sign::grace) + name;
    if (note.tied_from_previous) use(Sign::tie);
    column.unplaced += (column.unplaced.empty() ? "" : "+") + name;
    lose("tab-unplaced", "a note without a string is named below the tab", stroke.onset);
    return;
  }
  const auto index = static_cast<std::size_t>(std::clamp<int>(note.placement->string, 1, string_count) - 1);
  const std::string before = before_fret(note, stroke.grace != Grace::none);
  std::string text(static_cast<std::size_t>(column.lead - size_of(before)), '-');
  text += before;
  text += note.dead ? use(Sign::dead) : std::to_string(note.placement->fret);
  text += after_fret(note);
  if (column.strings.at(index).empty()) {
    column.strings.at(index) = text;
  } else {
    column.strings.at(index) += "+" + text.substr(static_cast<std::size_t>(column.lead));
  }
  last_.at(index) = {note.placement->fret, note.out_of};
}

std::string ColumnMaker::before_fret(const Note& note, bool grace) {
  const auto index = static_cast<std::size_t>(std::clamp<int>(note.placement->string, 1, string_count) - 1);
  const LastNote& last = last_.at(index);
  const Technique technique = note.into != Technique::none ? note.into : last.out_of;
  std::string text;
  if (grace) text += use(Sign::grace);
  if (technique == Technique::hammer_on) text += use(Sign::hammer_on);
  if (technique == Technique::pull_off) text += use(Sign::pull_off);
  if (technique == Technique::slide)
    text += use(last.fret > note.placement->fret ? Sign::slide_down : Sign::slide_up);
  if (technique == Technique::slur) text += use(Sign::slur);
  if (note.tied_from_previous) {
    use(Sign::tie);
    text += "(";
  }
  if (note.harmonic) {
    use(Sign::harmonic);
    text += "<";
  }
  return text;
}

std::string ColumnMaker::after_fret(const Note& note) {
  std::string text;
  if (note.harmonic) text += ">";
  if (note.tied_from_previous) text += ")";
  if (note.choke) {
    text += use(note.choke->before ? Sign::choked_before : Sign::choke);
    text += height_of(*note.choke, note.placement->fret);
    if (note.choke->release) text += use(Sign::choke_release);
  }
  if (note.ring == Ring::damp) text += use(Sign::damp);
  if (note.ring == Ring::let_ring && !style_.everything_rings) text += use(Sign::let_ring);
  return text;
}

void ColumnMaker::write_marks(const Articulations& articulations, Column& column) {
  if (articulations.accent) column.marks += use(Sign::accent);
  if (articulations.strong_accent) column.marks += use(Sign::strong_accent);
  if (articulations.staccato) column.marks += use(Sign::staccato);
  if (articulations.tenuto) column.marks += use(Sign::tenuto);
  if (articulations.fermata) column.marks += use(Sign::fermata);
}

void ColumnMaker::write_picking(const Stroke& stroke, Column& column) {
  if (stroke.is_rest()) {
    column.picking = use(Sign::rest);
    return;
  }
  if (stroke.brush == Brush::plain) column.picking += use(Sign::brush);
  if (stroke.brush == Brush::up) column.picking += use(Sign::brush_up);
  if (stroke.brush == Brush::down) column.picking += use(Sign::brush_down);
  if (std::none_of(stroke.notes.begin(), stroke.notes.end(),
                   [](const Note& note) { return note.picking_finger.has_value(); })) {
    return;
  }
  for (const Note* note : engraving::by_string(stroke)) {
    if (!note->picking_finger) {
      column.picking += use(Sign::no_finger);
      continue;
    }
    column.picking += engraving::picking_letter(*note->picking_finger);
    const Sign sign = explanation_of(*note->picking_finger);
    if (sign != Sign::count) use(sign);
  }
}

void ColumnMaker::write_fingers(const Stroke& stroke, Column& column) {
  std::string fingers;
  bool any = false;
  for (const Note* note : engraving::by_string(stroke)) {
    any = any || note->finger.has_value();
    if (!note->finger) {
      fingers += text_of(Sign::no_finger);
    } else if (!style_.fingers && !finger_is_plain(*note)) {
      lose("tab-finger", "fingers of the fret hand are not shown", stroke.onset);
    } else if (*note->finger == FretFinger::thumb) {
      fingers += "T";
    } else {
      fingers += std::to_string(static_cast<int>(*note->finger));
    }
  }
  if (!style_.fingers || !any) return;
  if (fingers.find(text_of(Sign::no_finger)) != std::string::npos) use(Sign::no_finger);
  column.fingers = std::move(fingers);
}

void ColumnMaker::write_roles(const Stroke& stroke, Column& column) {
  const auto says_role = [](const Note& note) { return note.role != Role::none; };
  if (std::none_of(stroke.notes.begin(), stroke.notes.end(), says_role)) return;
  for (const Note* note : engraving::by_string(stroke)) {
    if (style_.roles) {
      column.roles += role_letters.at(static_cast<std::size_t>(note->role));
    } else if (says_role(*note)) {
      lose("tab-role", "what notes are for (melody, fill ...) is not shown", stroke.onset);
    }
  }
  if (style_.roles) use(Sign::roles);
}

// Whether meter and count tell how long a measure lasts: of a whole one, of one that begins or ends in the
// middle of its meter on a beat or a half or quarter of it, as a pickup and the last measure, which makes up
// for it, do.
bool ColumnMaker::tells_length(const Measure& measure, bool first) {
  const Fraction whole = measure.meter.length();
  const Fraction before = engraving::counted_from(measure, first);
  if (first) pickup_ = before;
  if (before > 0) {
    const std::int64_t parts = (before * measure.meter.unit).den();
    return parts == 1 || parts == 2 || parts == 4;
  }
  if (measure.length == whole) return true;
  const bool makes_up =
      (measure_is_last_ || measure.repeat_times > 0) && pickup_ > 0 && measure.length == pickup_;
  return makes_up && (measure.length * measure.meter.unit).is_whole();
}

// Words, chord symbols and changes, each over the last column that does not come after it.
void ColumnMaker::write_over(const Measure& measure, bool first, std::vector<Column>& columns,
                             const std::vector<Fraction>& offsets, std::vector<std::string>& at_end) {
  if (columns.empty()) return;
  const auto column_at = [&](Fraction at) -> Column& {
    const auto after = std::upper_bound(offsets.begin(), offsets.end(), at);
    const auto index = after == offsets.begin() ? 0 : after - offsets.begin() - 1;
    return columns[static_cast<std::size_t>(index)];
  };
  const bool new_meter = measure.meter.beats != meter_.beats || measure.meter.unit != meter_.unit;
  if (!first && new_meter) column_at(0).words.push_back(to_string(measure.meter));
  if (!tells_length(measure, first))
    column_at(0).words.push_back(std::string(lasts_text) + to_string(measure.length));
  if (!first && measure.key != key_) column_at(0).words.push_back("Key: " + to_string(measure.key));
  for (const KeyChange& change : measure.key_changes) {
    column_at(change.at).words.push_back("Key: " + to_string(change.key));
  }
  for (std::size_t i = 0; i < measure.tempos.size(); ++i) {
    const Tempo& tempo = measure.tempos[i];
    const bool in_heading = first && i == 0 && tempo.at == 0;
    if (!in_heading) column_at(tempo.at).words.push_back(engraving::tempo_text(tempo));
  }
  for (const Direction& direction : measure.directions) {
    std::string text = engraving::direction_text(direction);
    if (direction.at >= measure.length) {
      at_end.push_back(std::move(text));
    } else {
      column_at(direction.at).words.push_back(std::move(text));
    }
  }
  for (const ChordSymbol& chord : measure.chords)
    column_at(chord.at).chords.push_back(base::one_line(to_string(chord)));
  if (measure.repeat_times > 2) {
    at_end.push_back("play " + std::to_string(measure.repeat_times) + " times");
  }
}

}  // namespace fifthpeg::text_tab
