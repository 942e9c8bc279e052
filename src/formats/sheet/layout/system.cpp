#include "formats/sheet/layout/system.hpp"

#include <algorithm>

namespace fifthpeg::sheet {

double System::x_at(const PlacedMeasure& placed, Fraction at) const {
  const auto begin = columns.begin() + static_cast<std::ptrdiff_t>(placed.first_column);
  const auto end = columns.begin() + static_cast<std::ptrdiff_t>(placed.end_column);
  const auto after = std::find_if(begin, end, [at](const PlacedColumn& one) { return one.column->at >= at; });
  if (begin == end) return placed.left;
  if (after != end && (after->column->at == at || after == begin)) return after->x;
  const PlacedColumn& before = *std::prev(after);
  const Fraction until = after != end ? after->column->at : measure_of(placed).length;
  const double to = after != end ? after->x : placed.right;
  const double whole = (until - before.column->at).to_double();
  if (whole <= 0) return to;
  return before.x + (to - before.x) * std::min(1.0, (at - before.column->at).to_double() / whole);
}

double System::links_left(TextFace& face) const {
  const PlacedMeasure& opening = measures.front();
  if (!opening.begins) return opening.left;
  if (piece.measures[opening.measure].shows_meter) {
    return opening.meter_x + meter_width(measure_of(opening).meter, piece.sizes, face);
  }
  return opening.left + (measure_of(opening).repeat_starts ? repeat_width(piece.sizes) : 0);
}

std::pair<const PlacedColumn*, const PlacedColumn*> System::ends_of(
    const PlacedMeasure& placed, const engraving::TupletGroup& group) const {
  std::pair<const PlacedColumn*, const PlacedColumn*> ends{nullptr, nullptr};
  for (std::size_t i = placed.first_column; i < placed.end_column; ++i) {
    const PlacedColumn& column = columns[i];
    if (!column.column->piece || *column.column->piece < group.first_piece) continue;
    if (*column.column->piece > group.last_piece) break;
    if (ends.first == nullptr) ends.first = &column;
    ends.second = &column;
  }
  return ends;
}

const PlacedColumn* System::column_with(std::size_t index) const {
  if (columns.empty() || index < columns.front().index || index > columns.back().index) return nullptr;
  return &columns[index - columns.front().index];
}

Drawn draw(const System& system, TextFace& face) {
  Drawn drawn;
  Pen pen(face, drawn.marks);
  const double half_line = system.piece.sizes.string_gap * 0.45;
  Skyline above(Skyline::Side::above, system.staff_right, -half_line);
  Skyline below(Skyline::Side::below, system.staff_right, system.piece.sizes.tab_height + half_line);
  Canvas canvas{pen, above, below};
  draw_tab_staff(system, canvas);
  draw_rhythm(system, canvas);
  draw_rows_below(system, canvas);
  draw_chokes(system, canvas);
  draw_links(system, canvas);
  // Numbers of measures stand over the upper staff: between two they would be read with the letters there.
  if (!system.piece.options.notation) draw_measure_numbers(system, canvas);
  draw_close_above(system, canvas);
  if (system.piece.options.roles) draw_roles(system, canvas);
  draw_notation_staff(system, canvas);
  if (system.piece.options.notation) draw_measure_numbers(system, canvas);
  draw_rows_above(system, canvas);
  drawn.top = above.farthest();
  drawn.bottom = below.farthest();
  return drawn;
}

}  // namespace fifthpeg::sheet
