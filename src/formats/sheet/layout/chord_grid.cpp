#include "formats/sheet/layout/chord_grid.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "engraving/wording.hpp"

namespace fifthpeg::sheet {
namespace {

constexpr int usual_frets = 5;  // what lies within them is shown from the nut on

}  // namespace

std::map<const ChordSymbol*, hands::ChordShape> first_shapes(const Score& score, Report& report) {
  std::map<const ChordSymbol*, hands::ChordShape> shapes;
  std::set<std::string> seen;
  for (const Measure& measure : score.measures) {
    for (const ChordSymbol& chord : measure.chords) {
      if (chord.kind == "none" || !seen.insert(to_string(chord)).second) continue;
      if (const auto shape = hands::chord_shape(score.banjo, chord)) {
        shapes.emplace(&chord, *shape);
      } else {
        report.add(EntryKind::loss, "sheet-chord-grid",
                   "a chord has no grid: no shape on this tuning is known",
                   {{}, measure.number, beat_at(measure, chord.at)});
      }
    }
  }
  return shapes;
}

ChordGrid::ChordGrid(const hands::ChordShape& shape, const Banjo& banjo, const Sizes& sizes, TextFace& face)
    : shape_(shape), sizes_(&sizes), fifth_begins_(banjo.fifth_capo - banjo.capo) {
  int low = 0;
  int high = 0;
  for (int string = 1; string < fifth_string; ++string) {
    const int fret = shape.on(string).fret.value_or(0);
    if (fret > 0 && (low == 0 || fret < low)) low = fret;
    high = std::max(high, fret);
  }
  if (high > usual_frets) first_fret_ = low;
  frets_ = std::max(usual_frets, high - left_out());
  width_ = string_x(1) + dot_radius();
  if (first_fret_ > 1) {
    width_ += sizes.pad / 2 + face.size_of(std::to_string(first_fret_), sizes.grid_number).width;
  }
}

double ChordGrid::height() const {
  return bottom() + fingers_height();
}

void ChordGrid::draw(Pen& pen, Point corner) const {
  draw_neck(pen, corner);
  draw_fifth_string(pen, corner);
  draw_fingers(pen, corner);
}

void ChordGrid::draw_neck(Pen& pen, Point corner) const {
  const double top = corner.y + fret_y(left_out());
  for (int string = 1; string < fifth_string; ++string) {
    const double x = corner.x + string_x(string);
    pen.line(Kind::chord_grid, {x, top}, {x, corner.y + bottom()}, sizes_->stem_width);
    if (!shape_.on(string).fret.value_or(0)) {
      draw_mark(pen, shape_.on(string).fret.has_value(), {x, top - mark_lift()});
    }
  }
  const double overhang = sizes_->stem_width / 2;
  for (int fret = left_out(); fret <= left_out() + frets_; ++fret) {
    // The neck is as wide as the fifth string makes it.
    const int lowest = fret >= fifth_begins_ ? fifth_string : fifth_string - 1;
    const double width = fret == 0 ? nut() : sizes_->stem_width;
    const double y = corner.y + fret_y(fret) - (fret == 0 ? width / 2 : 0);
    pen.line(Kind::chord_grid, {corner.x + string_x(lowest) - overhang, y},
             {corner.x + string_x(1) + overhang, y}, width);
  }
  if (first_fret_ > 1) {
    const double middle = corner.y + fret_y(left_out()) + fret_step() / 2;
    const std::string number = std::to_string(first_fret_);
    const TextSize& size = pen.size_of(number, sizes_->grid_number);
    pen.text(Kind::chord_grid, number, sizes_->grid_number,
             {corner.x + string_x(1) + dot_radius() + sizes_->pad / 2, middle + size.ascent / 2});
  }
}

void ChordGrid::draw_fifth_string(Pen& pen, Point corner) const {
  const double x = corner.x + string_x(fifth_string);
  const int last = left_out() + frets_;
  const int begins = std::clamp(fifth_begins_, left_out(), last);
  const double top = corner.y + fret_y(begins);
  // It is not there yet where a capo lets it begin below the grid.
  if (fifth_begins_ <= last) {
    pen.line(Kind::chord_grid, {x, top}, {x, corner.y + bottom()}, sizes_->stem_width);
  }
  draw_mark(pen, shape_.on(fifth_string).fret.has_value(),
            {x, top - (begins == left_out() ? mark_lift() : fret_step() / 2)});
}

void ChordGrid::draw_mark(Pen& pen, bool open, Point center) const {
  const double radius = half_mark() - sizes_->stem_width / 2;
  if (open) {
    pen.ring(Kind::chord_grid, center, radius, sizes_->stem_width);
    return;
  }
  pen.line(Kind::chord_grid, {center.x - radius, center.y - radius}, {center.x + radius, center.y + radius},
           sizes_->stem_width);
  pen.line(Kind::chord_grid, {center.x - radius, center.y + radius}, {center.x + radius, center.y - radius},
           sizes_->stem_width);
}

void ChordGrid::draw_fingers(Pen& pen, Point corner) const {
  std::map<std::pair<FretFinger, int>, std::vector<int>> strings_of;  // by finger and fret
  const double base = corner.y + height();
  for (int string = 1; string < fifth_string; ++string) {
    const hands::StringHold& hold = shape_.on(string);
    if (!hold.finger) continue;
    strings_of[{*hold.finger, *hold.fret}].push_back(string);
    pen.text_centered(Kind::chord_grid, engraving::finger_sign(*hold.finger), sizes_->grid_number,
                      {corner.x + string_x(string), base});
  }
  for (const auto& [place, strings] : strings_of) {
    const double y = corner.y + fret_y(place.second) - fret_step() / 2;
    const Point first{corner.x + string_x(strings.back()), y};
    if (strings.size() == 1) {
      pen.disc(Kind::chord_grid, first, dot_radius());
    } else {
      draw_bar(pen, first, {corner.x + string_x(strings.front()), y});
    }
  }
}

// With round ends, as wide as a dot.
void ChordGrid::draw_bar(Pen& pen, Point first, Point last) const {
  constexpr int corners = 12;  // of each end
  std::vector<Point> points;
  for (int end = 0; end < 2; ++end) {
    const Point& center = end == 0 ? last : first;
    for (int i = 0; i <= corners; ++i) {
      const double angle = std::numbers::pi * (end - 0.5 + static_cast<double>(i) / corners);
      points.push_back(
          {center.x + dot_radius() * std::cos(angle), center.y + dot_radius() * std::sin(angle)});
    }
  }
  pen.polygon(Kind::chord_grid, std::move(points));
}

}  // namespace fifthpeg::sheet
