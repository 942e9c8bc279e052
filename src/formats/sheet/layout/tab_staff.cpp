// The strings with what stands on them: names, barlines, meter, fret numbers, rests, brushes, stop marks.
#include <algorithm>
#include <array>
#include <utility>

#include "engraving/wording.hpp"
#include "formats/sheet/layout/barlines.hpp"
#include "formats/sheet/layout/system.hpp"

namespace fifthpeg::sheet {
namespace {

using Interval = std::pair<double, double>;
using Taken = std::array<std::vector<Interval>, string_count>;

struct Outline {
  Box box;
  StrokeOf stroke;
};

StrokeOf drawn_stroke(const System& system, const PlacedColumn& column) {
  return {system.piece.number, static_cast<std::uint32_t>(column.measure),
          static_cast<std::uint32_t>(column.piece->stroke)};
}

void draw_names(const System& system, Canvas& canvas) {
  const Sizes& sizes = system.piece.sizes;
  for (int string = 1; string <= string_count; ++string) {
    const std::string name = engraving::string_name(system.piece.score.banjo.tuning, string);
    const TextSize& size = canvas.pen.size_of(name, sizes.string_name);
    const double x = system.staff_left - sizes.pad - (size.right - size.left) / 2;
    canvas.pen.text_in_middle(Kind::string_name, name, sizes.string_name, {x, system.string_y(string)});
  }
}

// The strings, interrupted where something stands on them.
void draw_strings(const System& system, Taken& taken, Canvas& canvas) {
  const Sizes& sizes = system.piece.sizes;
  for (int string = 1; string <= string_count; ++string) {
    auto& gaps = taken.at(static_cast<std::size_t>(string - 1));
    std::sort(gaps.begin(), gaps.end());
    double from = system.staff_left;
    const double y = system.string_y(string);
    const auto draw_to = [&](double to) {
      if (to > from) canvas.pen.line(Kind::staff_line, {from, y}, {to, y}, sizes.thin);
    };
    for (const auto& [left, right] : gaps) {
      draw_to(left);
      from = std::max(from, right);
    }
    draw_to(system.staff_right);
  }
}

void draw_meter(const System& system, const PlacedMeasure& placed, Canvas& canvas, Taken& taken) {
  if (!placed.begins || !system.piece.measures[placed.measure].shows_meter) return;
  const Sizes& sizes = system.piece.sizes;
  const Meter& meter = system.measure_of(placed).meter;
  const double width = meter_width(meter, sizes, canvas.pen.face());
  const double x = placed.meter_x + width / 2;
  canvas.pen.text_in_middle(Kind::meter, meter_beats(meter), sizes.meter, {x, sizes.string_gap});
  canvas.pen.text_in_middle(Kind::meter, std::to_string(meter.unit), sizes.meter, {x, 3 * sizes.string_gap});
  const double white = sizes.string_gap * 0.15;
  for (auto& gaps : taken) gaps.emplace_back(x - width / 2 - white, x + width / 2 + white);
}

void draw_rest(const System& system, const PlacedColumn& placed, double x, Canvas& canvas, Taken& taken) {
  const Sizes& sizes = system.piece.sizes;
  const engraving::Piece& piece = *placed.piece;
  const MusicSign sign = rest_sign(piece);
  const SignOutline& outline = outline_of(sign);
  const double space = sizes.string_gap * 0.75;
  const double y = system.string_y(3);
  const double left = x - (outline.left + outline.right) / 2 * space;
  const Box box = canvas.pen.sign(Kind::rest, sign, {left, y}, space);
  double right = box.right;
  for (int dot = 0; dot < piece.value.dots && !piece.measure_rest; ++dot) {
    const Box drawn = canvas.pen.disc(
        Kind::dot, {right + sizes.string_gap * 0.25, y - sizes.string_gap * 0.3}, sizes.string_gap * 0.12);
    right = drawn.right;
  }
  const double white = sizes.string_gap * 0.12;
  for (int string = 1; string <= string_count; ++string) {
    const double at = system.string_y(string);
    if (at > box.top - white && at < box.bottom + white) {
      taken.at(static_cast<std::size_t>(string - 1)).emplace_back(box.left - white, right + white);
    }
  }
}

void draw_brush(const System& system, const PlacedColumn& placed, double left, Canvas& canvas) {
  const Stroke& stroke = *placed.column->stroke;
  int highest = string_count;
  int lowest = 1;
  for (const Note& note : stroke.notes) {
    if (!note.placement) continue;
    highest = std::min<int>(highest, note.placement->string);
    lowest = std::max<int>(lowest, note.placement->string);
  }
  const Sizes& sizes = system.piece.sizes;
  const double x = left - sizes.string_gap * 0.3;
  const double top = system.string_y(highest) - sizes.string_gap * 0.4;
  const double bottom = system.string_y(lowest) + sizes.string_gap * 0.4;
  const double head = sizes.string_gap * 0.22;
  const double length = sizes.string_gap * 0.5;
  canvas.pen.line(Kind::brush, {x, top}, {x, bottom}, sizes.stem_width);
  if (stroke.brush == Brush::up) {
    canvas.pen.polygon(Kind::brush, {{x, top}, {x - head, top + length}, {x + head, top + length}});
  }
  if (stroke.brush == Brush::down) {
    canvas.pen.polygon(Kind::brush, {{x, bottom}, {x - head, bottom - length}, {x + head, bottom - length}});
  }
}

// A number with what is around it: where its string is interrupted, and where neighbors begin.
Box draw_fret(const System& system, const PlacedColumn& placed, const Note& note, Canvas& canvas,
              std::vector<Outline>& outlines) {
  const Sizes& sizes = system.piece.sizes;
  const Stroke& stroke = *placed.column->stroke;
  const bool goes_on = !placed.piece->first;
  const TextStyle style = fret_style(sizes, stroke);
  const double y = system.string_y(note.placement->string);
  Box box = canvas.pen.text_in_middle(Kind::fret, fret_text(note, goes_on), style, {placed.x, y});
  if (is_outlined(note, goes_on, system.piece.options)) {
    const double reach = fret_reach(note, goes_on, stroke, system.piece.options, sizes, canvas.pen.face());
    const double half = sizes.outline_half * style.size;
    box = {placed.x - reach, y - half, placed.x + reach, y + half};
    outlines.push_back({box, drawn_stroke(system, placed)});
  }
  return box;
}

void draw_frets(const System& system, const PlacedColumn& placed, Canvas& canvas, Taken& taken,
                std::vector<Outline>& outlines) {
  const Sizes& sizes = system.piece.sizes;
  const Stroke& stroke = *placed.column->stroke;
  const double white = sizes.string_gap * 0.1;
  double left = placed.x;
  for (const Note& note : stroke.notes) {
    if (!note.placement) continue;
    const double y = system.string_y(note.placement->string);
    const std::size_t before = outlines.size();
    const Box box = draw_fret(system, placed, note, canvas, outlines);
    const double beside = outlines.size() > before ? 0 : white;  // strings run up to an outline
    double right = box.right;
    if (note.ring == Ring::damp && placed.piece->last) {
      const double x = box.right + sizes.string_gap * 0.3;
      const double half = sizes.string_gap * 0.32;
      right = canvas.pen.line(Kind::stop, {x, y - half}, {x, y + half}, sizes.string_gap * 0.17).right;
    }
    left = std::min(left, box.left);
    taken.at(static_cast<std::size_t>(note.placement->string - 1))
        .emplace_back(box.left - beside, right > box.right ? right + white : right + beside);
    canvas.above.raise(box.left, box.right, box.top);
    canvas.below.raise(box.left, box.right, box.bottom);
  }
  if (stroke.brush != Brush::none && placed.piece->first) draw_brush(system, placed, left, canvas);
}

// After all numbers of the line, which can then be read on end.
void draw_outlines(const System& system, const std::vector<Outline>& outlines, Canvas& canvas) {
  for (const Outline& outline : outlines) {
    canvas.pen.set_stroke(outline.stroke);
    canvas.pen.round_outline(Kind::melody, outline.box, system.piece.sizes.stem_width * 0.8);
  }
  canvas.pen.set_stroke(std::nullopt);
}

}  // namespace

double rest_x(const PlacedMeasure& placed, const PlacedColumn& column) {
  const double middle = (placed.left + placed.right) / 2;
  return column.piece->measure_rest ? std::max(middle, column.x) : column.x;
}

MusicSign rest_sign(const engraving::Piece& piece) {
  if (piece.measure_rest || piece.value.type >= engraving::quarter_type + 2) return MusicSign::whole_rest;
  if (!piece.value) return MusicSign::quarter_rest;
  const int from_half = engraving::quarter_type + 1 - piece.value.type;
  const int shortest = static_cast<int>(MusicSign::hundred_twenty_eighth_rest);
  return static_cast<MusicSign>(std::min(static_cast<int>(MusicSign::half_rest) + from_half, shortest));
}

void draw_tab_staff(const System& system, Canvas& canvas) {
  Taken taken;
  std::vector<Outline> outlines;
  draw_names(system, canvas);
  draw_barlines(system, 0, system.piece.sizes.tab_height, {1.0, 3.0}, system.piece.sizes.string_gap, canvas);
  for (const PlacedMeasure& placed : system.measures) {
    draw_meter(system, placed, canvas, taken);
    for (std::size_t i = placed.first_column; i < placed.end_column; ++i) {
      const PlacedColumn& column = system.columns[i];
      if (column.piece == nullptr) continue;
      const Stroke& stroke = *column.column->stroke;
      canvas.pen.set_stroke(drawn_stroke(system, column));
      if (stroke.is_rest()) {
        draw_rest(system, column, rest_x(placed, column), canvas, taken);
      } else {
        draw_frets(system, column, canvas, taken, outlines);
      }
      canvas.pen.set_stroke(std::nullopt);
    }
  }
  draw_outlines(system, outlines, canvas);
  draw_strings(system, taken, canvas);
}

}  // namespace fifthpeg::sheet
