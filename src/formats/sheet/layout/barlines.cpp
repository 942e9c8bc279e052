#include "formats/sheet/layout/barlines.hpp"

namespace fifthpeg::sheet {
namespace {

// Draws barlines between two heights.
class BarPen {
 public:
  BarPen(const Sizes& sizes, double top, double bottom, Canvas& canvas)
      : sizes_(sizes), top_(top), bottom_(bottom), canvas_(canvas) {}

  // Whose right edge is at x; returns the left edge.
  double thin(double right, bool dashed = false) {
    const double x = right - sizes_.stem_width / 2;
    return canvas_.pen.line(Kind::barline, {x, top_}, {x, bottom_}, sizes_.stem_width, dashed).left;
  }
  double heavy(double right) {
    const double x = right - sizes_.heavy / 2;
    return canvas_.pen.line(Kind::barline, {x, top_}, {x, bottom_}, sizes_.heavy).left;
  }
  void dots(double x, const std::vector<double>& places, double gap) {
    for (const double place : places) {
      canvas_.pen.disc(Kind::repeat_dot, {x, top_ + place * gap}, sizes_.string_gap * 0.14);
    }
  }

 private:
  const Sizes& sizes_;
  double top_;
  double bottom_;
  Canvas& canvas_;
};

void draw_right_bar(const Measure& measure, bool last, double right, BarPen& pen, const Sizes& sizes,
                    const std::vector<double>& dots, double gap) {
  const double apart = sizes.string_gap * 0.25;
  if (measure.repeat_times > 0) {
    const double left = pen.thin(pen.heavy(right) - apart);
    pen.dots(left - sizes.string_gap * 0.35, dots, gap);
    return;
  }
  switch (measure.right_bar) {
    case BarStyle::none:
      if (!last) return;
      break;
    case BarStyle::light_light:
      pen.thin(pen.thin(right) - apart);
      return;
    case BarStyle::light_heavy:
      pen.thin(pen.heavy(right) - apart);
      return;
    case BarStyle::heavy:
      pen.heavy(right);
      return;
    case BarStyle::dashed:
    case BarStyle::dotted:
      pen.thin(right, true);
      return;
    case BarStyle::regular:
      break;
  }
  pen.thin(right);
}

}  // namespace

void draw_barlines(const System& system, double top, double bottom, const std::vector<double>& dots,
                   double gap, Canvas& canvas) {
  const Sizes& sizes = system.piece.sizes;
  BarPen pen(sizes, top, bottom, canvas);
  pen.thin(system.staff_left + sizes.stem_width);
  for (const PlacedMeasure& placed : system.measures) {
    const Measure& measure = system.measure_of(placed);
    if (placed.begins && measure.repeat_starts) {
      const double left = repeat_left(system, placed);
      const double apart = sizes.string_gap * 0.25;
      const double heavy = left + sizes.heavy;
      pen.heavy(heavy);
      pen.thin(heavy + apart + sizes.stem_width);
      pen.dots(heavy + apart + sizes.stem_width + sizes.string_gap * 0.35, dots, gap);
    }
    if (placed.ends) {
      const bool last = placed.measure + 1 == system.piece.score.measures.size();
      draw_right_bar(measure, last, placed.right, pen, sizes, dots, gap);
    }
  }
}

double repeat_left(const System& system, const PlacedMeasure& placed) {
  const bool opens = &placed == system.measures.data();
  return opens ? placed.left : placed.left - system.piece.sizes.stem_width;
}

}  // namespace fifthpeg::sheet
