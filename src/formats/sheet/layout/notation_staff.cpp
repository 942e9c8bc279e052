// The ordinary staff over the tab, with the same alignment.
//
// Stems: up where the notes lie below the middle line on the average, else down; of a beamed group all alike.
// At least three and a half spaces long, and as far as the middle line (common practice).
#include <algorithm>
#include <cmath>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "engraving/note_value.hpp"
#include "formats/sheet/layout/barlines.hpp"
#include "formats/sheet/layout/notation.hpp"
#include "formats/sheet/layout/system.hpp"

namespace fifthpeg::sheet {
namespace {

using engraving::Beam;

constexpr int middle_line = 4;  // its position
constexpr int top_line = 8;

// A note or chord on the staff, with its stem.
struct Chord {
  const PlacedColumn* column = nullptr;
  int highest = 0;  // positions
  int lowest = 0;
  bool up = true;
  double scale = 1;
  double stem_x = 0;
  double tip = 0;              // of the stem
  std::vector<int> shifted{};  // of its heads, by how many widths of a head
};

// Where a stem goes down between two heads a second apart, the upper one stands at its right and the lower
// one at its left, and all heads that are free to do so at its right (common practice).
void put_right_of_stem(Chord& chord) {
  const auto& heads = chord.column->column->heads;
  if (*std::max_element(chord.shifted.begin(), chord.shifted.end()) != 1) return;
  for (std::size_t i = 0; i < heads.size(); ++i) {
    const bool free = i == 0 || chord.shifted[i - 1] == 0 || heads[i - 1].position - heads[i].position > 1;
    chord.shifted[i] = free ? 1 : 0;
  }
}

class StaffPen {
 public:
  StaffPen(const System& system, TextFace& face)
      : system_(system),
        sizes_(system.piece.sizes),
        gap_(sizes_.staff_gap),
        notation_(sizes_),
        pen_(face, marks_),
        above_(Skyline::Side::above, system.staff_right, -sizes_.staff_height),
        below_(Skyline::Side::below, system.staff_right, 0),
        canvas_{pen_, above_, below_} {}

  void draw() {
    draw_staff();
    for (const PlacedMeasure& placed : system_.measures) {
      draw_signs(placed);
      draw_measure(placed);
    }
    draw_links();
    draw_tuplets(system_, gap_, -sizes_.staff_height, pen_, above_);
  }

  // Over what the tab has above it so far.
  void put_over(Canvas& canvas) const {
    const double least = -2.5 * gap_;
    const double room = std::min(canvas.above.room_for(below_) - sizes_.row_pad, least);
    canvas.pen.take(marks_, 0, room);
    canvas.pen.line(Kind::barline, {system_.staff_left + sizes_.stem_width / 2, room},
                    {system_.staff_left + sizes_.stem_width / 2, 0}, sizes_.stem_width);
    canvas.above.add(above_, room);
  }

 private:
  double y_of(int position) const { return -position * gap_ / 2; }
  void seen(const Box& box) {
    above_.raise(box.left, box.right, box.top);
    below_.raise(box.left, box.right, box.bottom);
  }

  void draw_staff() {
    for (int line = 0; line <= top_line; line += 2) {
      pen_.line(Kind::staff_line, {system_.staff_left, y_of(line)}, {system_.staff_right, y_of(line)},
                sizes_.thin);
    }
    draw_barlines(system_, -sizes_.staff_height, 0, {1.5, 2.5}, gap_, canvas_);
    const SignOutline& clef = outline_of(MusicSign::g_clef);
    const double x = system_.signs_left;
    seen(pen_.sign(Kind::clef, MusicSign::g_clef, {x - clef.left * gap_, y_of(2)}, gap_));
    const Measure& first = system_.measure_of(system_.measures.front());
    draw_key(first.key, x + clef_width(sizes_));
  }

  void draw_key(const Key& key, double x) {
    const MusicSign sign = key.fifths >= 0 ? MusicSign::sharp : MusicSign::flat;
    const std::vector<int> positions = key_positions(key);
    if (positions.empty()) return;
    const double step = notation_.key_width(key) / static_cast<double>(positions.size());
    for (const int position : positions) {
      seen(pen_.sign(Kind::key_signature, sign, {x, y_of(position)}, gap_));
      x += step;
    }
  }

  void draw_signs(const PlacedMeasure& placed) {
    const MeasureColumns& measure = system_.piece.measures[placed.measure];
    if (!placed.begins) return;
    const bool opens = &placed == system_.measures.data();
    if (measure.shows_key && !opens) draw_key(measure.measure->key, placed.key_x);
    if (!measure.shows_meter) return;
    const Meter& meter = measure.measure->meter;
    const TextStyle style = sizes_.staff_meter;
    const double width = meter_width(meter, sizes_, pen_.face());
    const double x = placed.meter_x + width / 2;
    pen_.text_in_middle(Kind::meter, meter_beats(meter), style, {x, y_of(6)});
    pen_.text_in_middle(Kind::meter, std::to_string(meter.unit), style, {x, y_of(2)});
  }

  void draw_measure(const PlacedMeasure& placed) {
    std::vector<Chord> group;  // under one beam
    for (std::size_t i = placed.first_column; i < placed.end_column; ++i) {
      const PlacedColumn& column = system_.columns[i];
      if (column.piece == nullptr) continue;
      const Stroke& stroke = *column.column->stroke;
      pen_.set_stroke(StrokeOf{system_.piece.number, static_cast<std::uint32_t>(column.measure),
                               static_cast<std::uint32_t>(column.piece->stroke)});
      if (stroke.is_rest()) {
        draw_rest(column, rest_x(placed, column));
      } else {
        const Beam beam = column.piece->beams.front();
        const bool beamed = beam == Beam::begin || beam == Beam::carry_on || beam == Beam::end;
        if (!beamed || beam == Beam::begin) draw_group(group);
        group.push_back(chord_of(column));
        if (!beamed || beam == Beam::end) draw_group(group);
      }
    }
    draw_group(group);
    pen_.set_stroke(std::nullopt);
  }

  void draw_rest(const PlacedColumn& column, double x) {
    const MusicSign sign = rest_sign(*column.piece);
    const SignOutline& outline = outline_of(sign);
    const bool whole = sign == MusicSign::whole_rest;
    const double left = x - (outline.left + outline.right) / 2 * gap_;
    const Box box = pen_.sign(Kind::rest, sign, {left, y_of(whole ? 6 : middle_line)}, gap_);
    seen(box);
    if (!column.piece->measure_rest) draw_dots(column.piece->value.dots, box.right, dot_space(middle_line));
  }

  // Dots stand in spaces, those of notes on lines above them (common practice).
  static int dot_space(int position) { return position % 2 == 0 ? position + 1 : position; }
  void draw_dots(int dots, double right, int space) {
    for (int dot = 0; dot < dots; ++dot) {
      pen_.disc(Kind::dot, {right + gap_ * (0.4 + 0.45 * dot), y_of(space)}, gap_ * 0.18);
    }
  }

  Chord chord_of(const PlacedColumn& column) const {
    Chord chord;
    chord.column = &column;
    const auto& heads = column.column->heads;
    chord.highest = heads.front().position;
    chord.lowest = heads.back().position;
    for (const Head& head : heads) chord.shifted.push_back(head.shifted);
    if (column.column->grace) chord.scale = grace_head_scale;
    return chord;
  }

  static bool has_stem(const Chord& chord) {
    const auto value = chord.column->piece->value;
    return value && value.type <= engraving::quarter_type + 1;
  }
  double half_head(const Chord& chord) const {
    return outline_of(MusicSign::black_head).right * gap_ * chord.scale / 2;
  }

  // Draws and empties it.
  void draw_group(std::vector<Chord>& group) {
    if (group.empty()) return;
    int sum = 0;
    for (const Chord& chord : group) sum += chord.highest + chord.lowest - 2 * middle_line;
    const bool up = sum < 0 || group.front().column->column->grace;
    // A single one whose beam goes on in another line has no flags.
    const bool alone = group.size() == 1 && group.front().column->piece->beams.front() == Beam::none;
    for (Chord& chord : group) {
      chord.up = up;
      if (up) stems_up_.insert(chord.column->index);
      const double inside = sizes_.stem_width / 2;
      chord.stem_x = chord.column->x + (up ? half_head(chord) - inside : inside - half_head(chord));
      if (!up && has_stem(chord)) put_right_of_stem(chord);
      const bool between = std::find(chord.shifted.begin(), chord.shifted.end(), 1) != chord.shifted.end();
      if (between) chord.stem_x = chord.column->x + half_head(chord);
      place_tip(chord, alone);
      pen_.set_stroke(StrokeOf{system_.piece.number, static_cast<std::uint32_t>(chord.column->measure),
                               static_cast<std::uint32_t>(chord.column->piece->stroke)});
      draw_heads(chord, alone);
    }
    if (group.size() > 1) level_tips(group);
    for (const Chord& chord : group) draw_stem(chord, alone);
    draw_beams(group);
    group.clear();
  }

  void place_tip(Chord& chord, bool alone) const {
    const double length = 3.5 * gap_ * chord.scale;
    const int flags = engraving::beam_count(chord.column->piece->value ? chord.column->piece->value.type
                                                                       : engraving::quarter_type);
    // Flags and beams stack towards the head.
    const double stacked =
        alone ? (flags > 0 ? (flags - 1) * 0.75 + 0.35 : 0) : std::max(0, flags - 2) * 0.75;
    // An accidental reaches out half a space more than its head.
    const auto& heads = chord.column->column->heads;
    const bool has_sign = std::any_of(heads.begin(), heads.end(), [](const Head& head) { return head.sign; });
    const double more = (stacked + (!alone && has_sign ? 0.5 : 0)) * gap_ * chord.scale;
    if (chord.up) {
      chord.tip = y_of(chord.highest) - length - more;
      if (chord.scale == 1.0) chord.tip = std::min(chord.tip, y_of(middle_line));
    } else {
      chord.tip = std::max(y_of(chord.lowest) + length + more, y_of(middle_line));
    }
  }

  // Puts the tips of a group on one line that leans as its notes do, a space at most, and so far out that no
  // stem is too short.
  void level_tips(std::vector<Chord>& group) const {
    const Chord& first = group.front();
    const Chord& last = group.back();
    const double width = last.stem_x - first.stem_x;
    const double lean = std::clamp((last.tip - first.tip) / 2, -gap_, gap_) / std::max(width, gap_);
    double base = group.front().up ? HUGE_VAL : -HUGE_VAL;
    for (const Chord& chord : group) {
      const double here = chord.tip - lean * (chord.stem_x - first.stem_x);
      base = chord.up ? std::min(base, here) : std::max(base, here);
    }
    const double from = first.stem_x;
    for (Chord& chord : group) chord.tip = base + lean * (chord.stem_x - from);
  }

  void draw_heads(const Chord& chord, bool alone) {
    const engraving::NoteValue value = chord.column->piece->value;
    MusicSign sign = MusicSign::black_head;
    if (value.type == engraving::quarter_type + 1) sign = MusicSign::half_head;
    if (value.type > engraving::quarter_type + 1) sign = MusicSign::whole_head;
    const double gap = gap_ * chord.scale;
    const double half = half_head(chord);
    draw_ledgers(chord, half);
    double right = chord.column->x + half;
    const auto& heads = chord.column->column->heads;
    for (std::size_t i = 0; i < heads.size(); ++i) {
      const Head& head = heads[i];
      const double x = chord.column->x - half + 2 * half * chord.shifted[i];
      const Box box = pen_.sign(Kind::note_head, sign, {x, y_of(head.position)}, gap);
      seen(box);
      right = std::max(right, box.right);
      if (!head.sign) continue;
      seen(pen_.sign(Kind::accidental, accidental_sign(*head.sign),
                     {chord.column->x + head.sign_left, y_of(head.position)}, gap));
    }
    if (alone && chord.up && engraving::beam_count(std::max<int>(value.type, 0)) > 0) {
      right = std::max(right, chord.stem_x + outline_of(MusicSign::up_flag).right * gap);
    }
    std::set<int> spaces;
    for (const Head& head : heads) {
      const int space = dot_space(head.position);
      if (spaces.insert(space).second) draw_dots(value.dots, right, space);
    }
  }

  void draw_ledgers(const Chord& chord, double half) {
    const double reach = half * 1.5;
    const auto& heads = chord.column->column->heads;
    // As far as the heads on it and beyond it stand.
    const auto ledger = [&](int position) {
      double left = HUGE_VAL;
      double right = -HUGE_VAL;
      for (std::size_t i = 0; i < heads.size(); ++i) {
        const bool beyond =
            position > middle_line ? heads[i].position >= position : heads[i].position <= position;
        if (!beyond) continue;
        const double x = chord.column->x + 2 * half * chord.shifted[i];
        left = std::min(left, x - reach);
        right = std::max(right, x + reach);
      }
      seen(pen_.line(Kind::ledger_line, {left, y_of(position)}, {right, y_of(position)}, sizes_.thin * 1.2));
    };
    for (int position = top_line + 2; position <= chord.highest; position += 2) ledger(position);
    for (int position = -2; position >= chord.lowest; position -= 2) ledger(position);
  }

  void draw_stem(const Chord& chord, bool alone) {
    if (!has_stem(chord)) return;
    const double from = y_of(chord.up ? chord.lowest : chord.highest);
    const double width = sizes_.stem_width * 0.9 * chord.scale;
    seen(pen_.line(Kind::stem, {chord.stem_x, from}, {chord.stem_x, chord.tip}, width));
    if (chord.column->column->stroke->grace == Grace::slashed) {
      const double y = chord.tip + gap_ * 0.8;
      seen(pen_.line(Kind::stem, {chord.stem_x - gap_ * 0.6, y + gap_ * 0.4},
                     {chord.stem_x + gap_ * 0.8, y - gap_ * 0.4}, width));
    }
    if (!alone) return;
    const int flags = engraving::beam_count(chord.column->piece->value.type);
    const double step = 0.75 * gap_ * chord.scale;
    for (int i = 0; i < flags; ++i) {
      const MusicSign sign = chord.up ? MusicSign::up_flag : MusicSign::down_flag;
      const double y = chord.tip + (chord.up ? step : -step) * i;
      seen(pen_.sign(Kind::flag, sign, {chord.stem_x, y}, gap_ * chord.scale));
    }
  }

  void draw_beam(const Chord& from, const Chord& to, double from_x, double to_x, std::size_t level) {
    const double scale = from.scale;
    const double thick = 0.5 * gap_ * scale;
    const double step = 0.75 * gap_ * scale * (from.up ? 1 : -1) * static_cast<double>(level);
    const double width = to.stem_x - from.stem_x;
    const double lean = width == 0 ? 0 : (to.tip - from.tip) / width;
    const double left = from.tip + step + lean * (from_x - from.stem_x);
    const double right = from.tip + step + lean * (to_x - from.stem_x);
    const double other = from.up ? thick : -thick;
    seen(pen_.polygon(Kind::beam,
                      {{from_x, left}, {to_x, right}, {to_x, right + other}, {from_x, left + other}}));
  }

  // Of a note whose beam goes on in another line.
  void draw_stubs(const Chord& chord) {
    const auto& beams = chord.column->piece->beams;
    const double stub = gap_ * 0.5 * (beams.front() == Beam::end ? -1 : 1);
    for (std::size_t level = 0; level < beams.size(); ++level) {
      if (beams.at(level) != Beam::none) draw_beam(chord, chord, chord.stem_x, chord.stem_x + stub, level);
    }
  }

  void draw_beams(const std::vector<Chord>& group) {
    if (group.size() < 2) {
      draw_stubs(group.front());
      return;
    }
    const double half = sizes_.stem_width * 0.45;
    const double hook = gap_ * 1.1;
    for (std::size_t level = 0; level < 8; ++level) {
      const Chord* open = nullptr;
      for (std::size_t i = 0; i < group.size(); ++i) {
        const Chord& chord = group[i];
        const Chord& neighbor = i > 0 ? group[i - 1] : group[i + 1];
        switch (chord.column->piece->beams.at(level)) {
          case Beam::none:
            break;
          case Beam::begin:
            open = &chord;
            break;
          case Beam::carry_on:
            if (open == nullptr) open = &chord;
            break;
          case Beam::end:
            if (open != nullptr) {
              draw_beam(*open, chord, open->stem_x - half, chord.stem_x + half, level);
            }
            open = nullptr;
            break;
          case Beam::forward_hook:
            draw_beam(chord, i + 1 < group.size() ? group[i + 1] : neighbor, chord.stem_x - half,
                      chord.stem_x + hook, level);
            break;
          case Beam::backward_hook:
            draw_beam(chord, neighbor, chord.stem_x - hook, chord.stem_x + half, level);
            break;
        }
      }
      if (open != nullptr && open != &group.back()) {
        draw_beam(*open, group.back(), open->stem_x - half, group.back().stem_x + half, level);
      }
    }
  }

  // The position of the head of a note in its column.
  static std::optional<int> position_of(const PlacedColumn& column, const Note& note) {
    const auto& notes = column.column->stroke->notes;
    for (std::size_t i = 0; i < notes.size() && i < column.column->heads.size(); ++i) {
      if (notes[i].placement == note.placement && notes[i].pitch == note.pitch) {
        return column.column->heads[i].position;
      }
    }
    return std::nullopt;
  }

  bool stem_is_up(const PlacedColumn& column) const { return stems_up_.contains(column.index); }

  // How far heads and dots reach.
  double right_of(const PlacedColumn& column) const {
    const double dots = column.piece->value.dots > 0 ? 0.15 + 0.45 * column.piece->value.dots : 0;
    return notation_.reach_of(column.column->heads, column.column->grace).right + dots * gap_;
  }

  void draw_links() {
    if (system_.columns.empty()) return;
    const std::size_t last = system_.columns.back().index;
    for (const Link* link : system_.piece.links.between(system_.columns.front().index, last)) {
      draw_link(*link);
    }
  }

  void draw_link(const Link& link) {
    const PlacedColumn* from = link.from ? system_.column_with(link.from->column) : nullptr;
    const PlacedColumn* to = link.to ? system_.column_with(link.to->column) : nullptr;
    const auto start = from != nullptr ? position_of(*from, *link.from->note) : std::nullopt;
    const auto end = to != nullptr ? position_of(*to, *link.to->note) : std::nullopt;
    if (!start && !end) return;
    const double stub = gap_ * 2;
    double left = 0;
    double right = 0;
    if (start) left = from->x + right_of(*from) + gap_ * 0.15;
    if (end) right = to->x - notation_.reach_of(to->column->heads, to->column->grace).left - gap_ * 0.15;
    if (!start)
      left = link.from ? std::min(system_.links_left(pen_.face()), right - gap_ * 0.8) : right - stub;
    if (!end) right = link.to ? std::max(system_.staff_right, left + stub) : left + stub;
    const double left_y = y_of(start ? *start : *end);
    const double right_y = y_of(end ? *end : *start);
    if (link.kind == Link::Kind::slide) {
      seen(pen_.line(Kind::slide, {left, left_y}, {right, right_y}, sizes_.stem_width));
      return;
    }
    const Kind kind = link.kind == Link::Kind::tie ? Kind::tie : Kind::slur;
    if (link.from && link.to && link.to->column > link.from->column + 1 && link.kind != Link::Kind::tie) {
      // Over all that stands between.
      const double y = above_.reach(left, right) - gap_ * 0.4;
      seen(pen_.arc(kind, {left, y}, {right, y}, gap_ * 1.1, gap_ * 0.2));
      return;
    }
    // On the side of the heads.
    const bool below = stem_is_up(start ? *from : *to);
    if (kind == Kind::slur && start && end && has_room(*from, *start, below) && has_room(*to, *end, below) &&
        !has_accidental(*to) && (below || from->piece->value.dots == 0)) {
      draw_slur(from->x, to->x, left_y, right_y, below);
      return;
    }
    const double away = (below ? 1 : -1) * gap_ * 0.55;
    seen(pen_.arc(kind, {left, left_y + away}, {right, right_y + away}, (below ? -1 : 1) * gap_ * 0.7,
                  gap_ * 0.2));
  }

  // Whether a slur may begin or end at the middle of a head: its stem is on the other side, and no head
  // between.
  bool has_room(const PlacedColumn& column, int position, bool below) const {
    const auto& heads = column.column->heads;
    return stem_is_up(column) == below && position == (below ? heads.back() : heads.front()).position;
  }
  static bool has_accidental(const PlacedColumn& column) {
    const auto& heads = column.column->heads;
    return std::any_of(heads.begin(), heads.end(), [](const Head& head) { return head.sign.has_value(); });
  }

  // From the middle of one head to that of the other, clear of both (common practice); ties stand between
  // heads.
  void draw_slur(double left, double right, double left_y, double right_y, bool below) {
    const double side = below ? 1 : -1;
    const double white = gap_ * 0.9;
    const double clear = gap_ * 0.6;
    const auto away_from = [&](double own, double other) {
      const double apart = std::max(side * own + white, side * other + clear);
      return side * apart;
    };
    seen(pen_.arc(Kind::slur, {left, away_from(left_y, right_y)}, {right, away_from(right_y, left_y)},
                  -side * gap_ * 0.7, gap_ * 0.2));
  }

  const System& system_;
  const Sizes& sizes_;
  double gap_;
  Notation notation_;
  std::vector<Mark> marks_;
  Pen pen_;
  Skyline above_;
  Skyline below_;
  Canvas canvas_;
  std::set<std::size_t> stems_up_;  // columns, as the piece counts them
};

}  // namespace

double clef_width(const Sizes& sizes) {
  return (outline_of(MusicSign::g_clef).right + 0.8) * sizes.staff_gap;
}

void draw_notation_staff(const System& system, Canvas& canvas) {
  if (!system.piece.options.notation || system.measures.empty()) return;
  StaffPen pen(system, canvas.pen.face());
  pen.draw();
  pen.put_over(canvas);
}

}  // namespace fifthpeg::sheet
