#include "formats/sheet/layout/pen.hpp"

#include <algorithm>
#include <utility>

namespace fifthpeg::sheet {
namespace {

Box around(const std::vector<Point>& points, double margin) {
  Box box{points.front().x, points.front().y, points.front().x, points.front().y};
  for (const Point& point : points) {
    box.left = std::min(box.left, point.x);
    box.right = std::max(box.right, point.x);
    box.top = std::min(box.top, point.y);
    box.bottom = std::max(box.bottom, point.y);
  }
  return {box.left - margin, box.top - margin, box.right + margin, box.bottom + margin};
}

Point moved_by(Point point, double right, double down) {
  return {point.x + right, point.y + down};
}

Line moved(Line line, double right, double down) {
  line.from = moved_by(line.from, right, down);
  line.to = moved_by(line.to, right, down);
  return line;
}

Arc moved(Arc arc, double right, double down) {
  for (Point* point : {&arc.from, &arc.control1, &arc.control2, &arc.to}) {
    *point = moved_by(*point, right, down);
  }
  return arc;
}

Polygon moved(Polygon polygon, double right, double down) {
  for (Point& point : polygon.points) point = moved_by(point, right, down);
  return polygon;
}

Circle moved(Circle circle, double right, double down) {
  circle.center = moved_by(circle.center, right, down);
  return circle;
}

RoundBox moved(RoundBox round, double right, double down) {
  const Box& box = round.box;
  round.box = {box.left + right, box.top + down, box.right + right, box.bottom + down};
  return round;
}

SignAt moved(SignAt sign, double right, double down) {
  sign.origin = moved_by(sign.origin, right, down);
  return sign;
}

Text moved(Text text, double right, double down) {
  text.start = moved_by(text.start, right, down);
  return text;
}

}  // namespace

void Pen::take(const std::vector<Mark>& marks, double right, double down) {
  for (Mark mark : marks) {
    mark.box = {mark.box.left + right, mark.box.top + down, mark.box.right + right, mark.box.bottom + down};
    std::visit([&](auto& shape) { mark.shape = moved(shape, right, down); }, mark.shape);
    marks_.push_back(std::move(mark));
  }
}

Box Pen::add(Kind kind, Box box, decltype(Mark::shape) shape) {
  marks_.push_back({kind, box, std::move(shape), stroke_});
  return box;
}

Box Pen::line(Kind kind, Point from, Point to, double width, bool dashed) {
  // Ends are cut straight: a level line is as long as it says.
  const bool level = from.y == to.y;
  const bool upright = from.x == to.x;
  const double half = width / 2;
  Box box = around({from, to}, 0);
  if (!upright) box = {box.left, box.top - half, box.right, box.bottom + half};
  if (!level) box = {box.left - half, box.top, box.right + half, box.bottom};
  return add(kind, box, Line{from, to, width, dashed});
}

Box Pen::arc(Kind kind, Point from, Point to, double height, double thickness) {
  const double third = (to.x - from.x) / 4;
  const Arc arc{
      from, {from.x + third, from.y - height * 4 / 3}, {to.x - third, to.y - height * 4 / 3}, to, thickness};
  Box box = around({from, to}, 0);
  box.top = std::min(box.top, std::min(from.y, to.y) - height - thickness / 2);
  box.bottom = std::max(box.bottom, std::max(from.y, to.y) - height + thickness / 2);
  return add(kind, box, arc);
}

Box Pen::polygon(Kind kind, std::vector<Point> points) {
  const Box box = around(points, 0);
  return add(kind, box, Polygon{std::move(points), true, 0});
}

Box Pen::outline(Kind kind, std::vector<Point> points, double width) {
  const Box box = around(points, width / 2);
  return add(kind, box, Polygon{std::move(points), false, width});
}

Box Pen::disc(Kind kind, Point center, double radius) {
  return add(kind, around({center}, radius), Circle{center, radius, true, 0});
}

Box Pen::ring(Kind kind, Point center, double radius, double width) {
  return add(kind, around({center}, radius + width / 2), Circle{center, radius, false, width});
}

Box Pen::round_outline(Kind kind, const Box& box, double width) {
  const double half = width / 2;
  const Box middle{box.left + half, box.top + half, box.right - half, box.bottom - half};
  return add(kind, box, RoundBox{middle, std::min(middle.width(), middle.height()) / 2, width});
}

Box Pen::sign(Kind kind, MusicSign sign, Point origin, double space) {
  const SignOutline& outline = outline_of(sign);
  const Box box{origin.x + outline.left * space, origin.y + outline.top * space,
                origin.x + outline.right * space, origin.y + outline.bottom * space};
  return add(kind, box, SignAt{sign, origin, space});
}

Box Pen::text(Kind kind, std::string_view text, TextStyle style, Point start) {
  const TextSize& size = face_.size_of(text, style);
  const Box box{start.x + size.left, start.y - size.ascent, start.x + size.right, start.y + size.descent};
  return add(kind, box, Text{std::string(text), start, style, size.width});
}

Box Pen::text_centered(Kind kind, std::string_view string, TextStyle style, Point middle) {
  const TextSize& size = face_.size_of(string, style);
  return text(kind, string, style, {middle.x - (size.left + size.right) / 2, middle.y});
}

Box Pen::text_ending(Kind kind, std::string_view string, TextStyle style, Point end) {
  return text(kind, string, style, {end.x - face_.size_of(string, style).right, end.y});
}

Box Pen::text_in_middle(Kind kind, std::string_view string, TextStyle style, Point middle) {
  const TextSize& size = face_.size_of(string, style);
  return text_centered(kind, string, style, {middle.x, middle.y + (size.ascent - size.descent) / 2});
}

}  // namespace fifthpeg::sheet
