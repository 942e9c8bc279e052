#include "formats/sheet/cairo_page.hpp"

#include <array>
#include <charconv>
#include <cmath>
#include <map>
#include <new>
#include <numbers>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "fifthpeg/errors.hpp"
#include "formats/sheet/strokes.hpp"
#include "formats/sheet/text_layout.hpp"

namespace fifthpeg::sheet {

namespace {

// Adds an outline of music_signs.hpp to the path.
void add_outline(cairo_t* cairo, std::string_view path) {
  const char* at = path.data();
  const char* const end = at + path.size();
  const auto numbers = [&]<std::size_t count>(std::array<double, count> read) {
    for (double& number : read) at = std::from_chars(at + 1, end, number).ptr;
    return read;
  };
  for (; at != end; at += at != end) {
    switch (*at++) {
      case 'M': {
        const auto [x, y] = numbers(std::array<double, 2>{});
        cairo_move_to(cairo, x, y);
        break;
      }
      case 'L': {
        const auto [x, y] = numbers(std::array<double, 2>{});
        cairo_line_to(cairo, x, y);
        break;
      }
      case 'C': {
        const auto [x1, y1, x2, y2, x3, y3] = numbers(std::array<double, 6>{});
        cairo_curve_to(cairo, x1, y1, x2, y2, x3, y3);
        break;
      }
      default:
        cairo_close_path(cairo);
    }
  }
}

class PagePainter {
 public:
  explicit PagePainter(cairo_t* cairo)
      : cairo_(cairo), dots_(cairo_surface_get_type(cairo_get_target(cairo)) == CAIRO_SURFACE_TYPE_IMAGE) {}

  void operator()(const Line& line) {
    static constexpr std::array<double, 2> dashes{dash_length, dash_gap};
    cairo_move_to(cairo_, line.from.x, line.from.y);
    cairo_line_to(cairo_, line.to.x, line.to.y);
    if (line.dashed) cairo_set_dash(cairo_, dashes.data(), dashes.size(), 0);
    stroke(line.width);
    if (line.dashed) cairo_set_dash(cairo_, nullptr, 0, 0);
  }

  void draw(const std::vector<const Line*>& lines, double width) {
    for (const Line* const line : lines) {
      cairo_move_to(cairo_, line->from.x, line->from.y);
      cairo_line_to(cairo_, line->to.x, line->to.y);
    }
    stroke(width);
  }

  void operator()(const Arc& arc) {
    const Crescent shape = crescent(arc);
    cairo_move_to(cairo_, shape.from.x, shape.from.y);
    curve_to(shape.outer1, shape.outer2, shape.to);
    curve_to(shape.inner2, shape.inner1, shape.from);
    cairo_close_path(cairo_);
    cairo_fill_preserve(cairo_);
    cairo_set_line_join(cairo_, CAIRO_LINE_JOIN_ROUND);
    stroke(tip_of_arc);
    cairo_set_line_join(cairo_, CAIRO_LINE_JOIN_MITER);
  }

  void operator()(const Polygon& polygon) {
    for (const Point& point : polygon.points) cairo_line_to(cairo_, point.x, point.y);
    cairo_close_path(cairo_);
    fill_or_stroke(polygon.filled, polygon.width);
  }

  void operator()(const Circle& circle) {
    cairo_new_sub_path(cairo_);
    cairo_arc(cairo_, circle.center.x, circle.center.y, circle.radius, 0, 2 * std::numbers::pi);
    cairo_close_path(cairo_);
    fill_or_stroke(circle.filled, circle.width);
  }

  void operator()(const RoundBox& round) {
    constexpr double right_angle = std::numbers::pi / 2;
    const Box& box = round.box;
    const double radius = round.radius;
    cairo_new_sub_path(cairo_);
    cairo_arc(cairo_, box.right - radius, box.top + radius, radius, -right_angle, 0);
    cairo_arc(cairo_, box.right - radius, box.bottom - radius, radius, 0, right_angle);
    cairo_arc(cairo_, box.left + radius, box.bottom - radius, radius, right_angle, 2 * right_angle);
    cairo_arc(cairo_, box.left + radius, box.top + radius, radius, 2 * right_angle, 3 * right_angle);
    cairo_close_path(cairo_);
    fill_or_stroke(false, round.width);
  }

  void operator()(const SignAt& sign) {
    cairo_save(cairo_);
    cairo_translate(cairo_, sign.origin.x, sign.origin.y);
    cairo_scale(cairo_, sign.space, sign.space);
    add_outline(cairo_, outline_of(sign.sign).path);
    cairo_restore(cairo_);
    cairo_fill(cairo_);
  }

  void operator()(const Text& text) {
    PangoLayout* const layout = layout_.lay_out(plain_line(text.text), text.style);
    cairo_save(cairo_);
    cairo_translate(cairo_, text.start.x, text.start.y);
    cairo_scale(cairo_, 1.0 / TextLayout::dots_per_mm, 1.0 / TextLayout::dots_per_mm);
    cairo_move_to(cairo_, 0, 0);
    if (dots_) {  // where Cairo would move each glyph to whole dots
      pango_cairo_layout_line_path(cairo_, pango_layout_get_line_readonly(layout, 0));
      cairo_fill(cairo_);
    } else {
      pango_cairo_show_layout_line(cairo_, pango_layout_get_line_readonly(layout, 0));
      cairo_new_path(cairo_);
    }
    cairo_restore(cairo_);
  }

 private:
  void curve_to(Point control1, Point control2, Point to) {
    cairo_curve_to(cairo_, control1.x, control1.y, control2.x, control2.y, to.x, to.y);
  }

  void stroke(double width) {
    cairo_set_line_width(cairo_, width);
    cairo_stroke(cairo_);
  }

  void fill_or_stroke(bool filled, double width) {
    if (filled) {
      cairo_fill(cairo_);
    } else {
      stroke(width);
    }
  }

  cairo_t* cairo_;
  bool dots_;
  TextLayout layout_;
};

}  // namespace

void must_succeed(cairo_status_t status) {
  if (status == CAIRO_STATUS_SUCCESS) return;
  if (status == CAIRO_STATUS_NO_MEMORY) throw std::bad_alloc();
  throw WriteError(std::string("the page cannot be drawn: ") + cairo_status_to_string(status));
}

cairo_status_t CairoStream::write(void* closure, const unsigned char* data, unsigned int length) {
  CairoStream& stream = *static_cast<CairoStream*>(closure);
  if (stream.thrown_) return CAIRO_STATUS_WRITE_ERROR;
  try {
    stream.sink_->write(std::string_view(reinterpret_cast<const char*>(data), length));
    return CAIRO_STATUS_SUCCESS;
  } catch (...) {
    stream.thrown_ = std::current_exception();
    return CAIRO_STATUS_WRITE_ERROR;
  }
}

void draw_page(cairo_t* cairo, const Page& page) {
  cairo_set_source_rgb(cairo, 0, 0, 0);
  PagePainter painter(cairo);
  // Most marks are lines of a few widths: all of a width are one path, which saves a third of the time.
  std::map<double, std::vector<const Line*>> lines;
  for (const Mark& mark : page.marks) {
    const Line* const line = std::get_if<Line>(&mark.shape);
    if (line != nullptr && !line->dashed) {
      lines[line->width].push_back(line);
    } else {
      std::visit(painter, mark.shape);
    }
  }
  for (const auto& [width, all] : lines) painter.draw(all, width);
}

}  // namespace fifthpeg::sheet
