// What stands on the pages of a sheet: lines, curves, signs and texts, each with its box and its kind. The
// layout makes it; pdf.cpp, png.cpp and svg.cpp put it on paper and screen without deciding anything more.
//
// Lengths are millimeters, places are counted from the page's upper left corner, y grows downwards.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <tuple>
#include <variant>
#include <vector>

#include "formats/sheet/music_signs.hpp"

namespace fifthpeg::sheet {

struct Point {
  double x = 0;
  double y = 0;
};

struct Box {
  double left = 0;
  double top = 0;
  double right = 0;
  double bottom = 0;

  double width() const { return right - left; }
  double height() const { return bottom - top; }
};

// What a mark is, so that it can be said which of them may touch.
enum class Kind : std::uint8_t {
  title,
  subtitle,
  credit,
  rights,
  set_up,
  about,  // what a lick does, and the paragraphs of a handout
  page_number,
  tempo,
  staff_line,
  ledger_line,
  barline,
  repeat_dot,
  clef,
  meter,
  key_signature,
  string_name,
  fret,
  melody,  // the outline of a fret number
  note_head,
  accidental,
  stem,
  beam,
  flag,
  dot,
  rest,
  tie,
  tuplet,
  slur,
  slide,
  technique,  // the letter of a slide, hammer-on, pull-off or choke
  choke,
  ring,
  stop,
  brush,
  role,  // a bracket over a lick, a kick-off or backup, with its word
  articulation,
  picking_finger,
  fret_finger,
  shape,
  chord_symbol,
  chord_grid,
  ending,
  rehearsal,
  direction,
  measure_number,
  lyric,
};

struct TextStyle {
  double size = 3;  // of the font: from one line to the next it is about 1.36 of this
  bool bold = false;
  bool italic = false;
  friend bool operator==(const TextStyle&, const TextStyle&) = default;
  friend bool operator<(const TextStyle& a, const TextStyle& b) {
    return std::tie(a.size, a.bold, a.italic) < std::tie(b.size, b.bold, b.italic);
  }
};

struct Line {
  Point from;
  Point to;
  double width = 0.2;
  bool dashed = false;
};

// A tie or slur: a crescent that is thickest in its middle.
struct Arc {
  Point from;
  Point control1;
  Point control2;
  Point to;
  double thickness = 0.3;
};

// A beam, an arrow's head, the box of a rehearsal letter.
struct Polygon {
  std::vector<Point> points;
  bool filled = true;
  double width = 0.2;  // of its outline, where it is not filled
};

struct Circle {
  Point center;
  double radius = 0.3;
  bool filled = true;
  double width = 0.15;  // of its outline, where it is not filled
};

// The outline of a box with round corners; the box is the middle of its line.
struct RoundBox {
  Box box;
  double radius = 1;
  double width = 0.15;
};

struct SignAt {
  MusicSign sign;
  Point origin;      // as music_signs.hpp says of each
  double space = 2;  // the distance of two staff lines to which it is drawn
};

struct Text {
  std::string text;  // one line, in UTF-8
  Point start;       // where its baseline begins, at the left
  TextStyle style;
  double width = 0;  // as measured: it is drawn as wide
};

// The stroke of a score that a mark belongs to.
struct StrokeOf {
  std::uint32_t piece = 0;
  std::uint32_t measure = 0;
  std::uint32_t stroke = 0;
};

struct Mark {
  Kind kind;
  Box box;  // what it covers with ink
  std::variant<Line, Arc, Polygon, Circle, RoundBox, SignAt, Text> shape;
  std::optional<StrokeOf> stroke;
};

// A measure, or the part of one that stands on a line of music.
struct MeasureAt {
  std::uint32_t piece = 0;
  std::uint32_t measure = 0;
  Box box;  // from barline to barline, with all that stands over and under it
};

struct Page {
  double width = 210;
  double height = 297;
  std::vector<Mark> marks;            // in the order in which they are to be read
  std::vector<MeasureAt> measures{};  // in order
};

struct Drawing {
  std::string title;
  std::string description;  // in a sentence or two, for those who cannot see it
  std::string language;     // of the texts, as in BCP 47; empty where it is not known
  std::vector<Page> pages;
};

}  // namespace fifthpeg::sheet
