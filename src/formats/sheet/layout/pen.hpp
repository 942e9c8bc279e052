// Draws marks: every shape with the box that it covers.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "formats/sheet/drawing.hpp"
#include "formats/sheet/text_face.hpp"

namespace fifthpeg::sheet {

class Pen {
 public:
  Pen(TextFace& face, std::vector<Mark>& marks) : face_(face), marks_(marks) {}

  // The stroke that marks belong to from here on.
  void set_stroke(std::optional<StrokeOf> stroke) { stroke_ = stroke; }

  // Each returns the box of what it drew.
  Box line(Kind kind, Point from, Point to, double width, bool dashed = false);
  // A crescent from one point to the other that rises by `height`, which is less than 0 where it sinks.
  Box arc(Kind kind, Point from, Point to, double height, double thickness);
  Box polygon(Kind kind, std::vector<Point> points);
  Box outline(Kind kind, std::vector<Point> points, double width);
  Box disc(Kind kind, Point center, double radius);
  Box ring(Kind kind, Point center, double radius, double width);
  // The outline of a box with round ends, which covers that box.
  Box round_outline(Kind kind, const Box& box, double width);
  Box sign(Kind kind, MusicSign sign, Point origin, double space);
  Box text(Kind kind, std::string_view text, TextStyle style, Point start);
  Box text_centered(Kind kind, std::string_view text, TextStyle style, Point middle_of_baseline);
  Box text_ending(Kind kind, std::string_view text, TextStyle style, Point end_of_baseline);
  // With the middle of its ink, in height, at that point.
  Box text_in_middle(Kind kind, std::string_view text, TextStyle style, Point middle);

  // What was drawn elsewhere, moved to its place.
  void take(const std::vector<Mark>& marks, double right, double down);

  const TextSize& size_of(std::string_view text, TextStyle style) { return face_.size_of(text, style); }
  TextFace& face() { return face_; }

 private:
  Box add(Kind kind, Box box, decltype(Mark::shape) shape);

  TextFace& face_;
  std::vector<Mark>& marks_;
  std::optional<StrokeOf> stroke_;
};

}  // namespace fifthpeg::sheet
