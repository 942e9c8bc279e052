// Chord grids: the neck as it stands before the player's eyes in a book, strings upright, with the fingers of
// a chord on it. A mark over a string says that it rings open or is not played, a number under it which
// finger stops it, one beside the grid which fret is its first where that is not fret 1. The fifth string
// begins at its own fret, with its mark there.
#pragma once

#include <map>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "formats/sheet/drawing.hpp"
#include "formats/sheet/layout/pen.hpp"
#include "formats/sheet/layout/sizes.hpp"
#include "hands/chord_shapes.hpp"

namespace fifthpeg::sheet {

// The shape of each chord symbol that is the first of its name; what has none is reported.
std::map<const ChordSymbol*, hands::ChordShape> first_shapes(const Score& score, Report& report);

class ChordGrid {
 public:
  ChordGrid(const hands::ChordShape& shape, const Banjo& banjo, const Sizes& sizes, TextFace& face);

  double width() const { return width_; }
  double height() const;
  // From its left end to the middle of its long strings.
  double middle() const { return (string_x(fifth_string - 1) + string_x(1)) / 2; }
  // With its upper left corner there.
  void draw(Pen& pen, Point corner) const;

 private:
  int left_out() const { return first_fret_ - 1; }  // frets above the grid
  double string_x(int string) const { return half_mark() + (string_count - string) * string_step(); }
  double fret_y(int fret) const { return marks_height() + (fret - left_out()) * fret_step(); }
  double bottom() const { return fret_y(left_out() + frets_) + fret_step() * 0.3; }  // the neck goes on a bit

  double string_step() const { return sizes_->string_gap * 0.8; }
  double fret_step() const { return sizes_->string_gap * 0.78; }
  double dot_radius() const { return sizes_->string_gap * 0.32; }
  double half_mark() const { return sizes_->string_gap * 0.29; }  // of a mark over a string, with its line
  double marks_height() const { return mark_lift() + half_mark(); }
  double mark_lift() const { return nut() + sizes_->string_gap * 0.1 + half_mark(); }  // of its middle
  double nut() const { return sizes_->string_gap * 0.22; }
  double fingers_height() const { return sizes_->string_gap * 0.95; }

  void draw_neck(Pen& pen, Point corner) const;
  void draw_fingers(Pen& pen, Point corner) const;
  void draw_bar(Pen& pen, Point first, Point last) const;
  void draw_mark(Pen& pen, bool open, Point center) const;
  void draw_fifth_string(Pen& pen, Point corner) const;

  hands::ChordShape shape_;
  const Sizes* sizes_;
  int first_fret_ = 1;
  int frets_ = 5;
  int fifth_begins_;  // fret, counted from the capo
  double width_;
};

}  // namespace fifthpeg::sheet
