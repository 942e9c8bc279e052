// The numbers and brackets of tuplets, over the notation staff or under the stems of the tab.
#include <algorithm>
#include <string>

#include "formats/sheet/layout/system.hpp"

namespace fifthpeg::sheet {
namespace {

// A bracket that is parted by the number in it.
void draw_bracket(double left, double right, const Box& number, double hook, double white, double width,
                  Pen& pen) {
  if (number.left - white <= left) return;  // as wide as the number alone
  const double y = (number.top + number.bottom) / 2;
  pen.line(Kind::tuplet, {left, y + hook}, {left, y}, width);
  pen.line(Kind::tuplet, {left, y}, {number.left - white, y}, width);
  pen.line(Kind::tuplet, {number.right + white, y}, {right, y}, width);
  pen.line(Kind::tuplet, {right, y + hook}, {right, y}, width);
}

}  // namespace

void draw_tuplets(const System& system, double reach, double least, Pen& pen, Skyline& skyline) {
  const Sizes& sizes = system.piece.sizes;
  const bool above = skyline.side() == Skyline::Side::above;
  for (const PlacedMeasure& placed : system.measures) {
    // The inner levels first, so that the outer ones stand beyond them.
    const auto& groups = system.piece.measures[placed.measure].engraving.groups;
    for (std::size_t i = groups.size(); i-- > 0;) {
      const auto [first, last] = system.ends_of(placed, groups[i]);
      if (first == nullptr || groups[i].level >= first->column->stroke->tuplets.size()) continue;
      const std::string text = std::to_string(first->column->stroke->tuplets[groups[i].level].actual);
      const double left = first->x - reach;
      const double right = last->x + reach;
      const double taken = skyline.reach(left, right);
      const double base =
          above ? std::min(taken, least) - sizes.row_pad
                : std::max(taken, least) + sizes.row_pad + pen.size_of(text, sizes.tuplet).ascent;
      const Box number = pen.text_centered(Kind::tuplet, text, sizes.tuplet, {(left + right) / 2, base});
      const double hook = sizes.string_gap * (above ? 0.35 : -0.35);
      const double white = sizes.string_gap * 0.2;
      if (groups[i].bracket) draw_bracket(left, right, number, hook, white, sizes.stem_width * 0.8, pen);
      // Without a bracket the number stands alone.
      skyline.raise(groups[i].bracket ? left : number.left, groups[i].bracket ? right : number.right,
                    above ? number.top : number.bottom);
    }
  }
}

}  // namespace fifthpeg::sheet
