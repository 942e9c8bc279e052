// One line of music: its measures and columns where they stand, and what is drawn on, over and under them.
//
// Places are counted from the left end of the line and the middle of the first string; y grows downwards.
#pragma once

#include <cstddef>
#include <optional>
#include <utility>
#include <vector>

#include "fifthpeg/score.hpp"
#include "fifthpeg/sheet.hpp"
#include "formats/sheet/layout/columns.hpp"
#include "formats/sheet/layout/links.hpp"
#include "formats/sheet/layout/pen.hpp"
#include "formats/sheet/layout/sizes.hpp"
#include "formats/sheet/layout/skyline.hpp"

namespace fifthpeg::sheet {

// A piece ready to be put into lines.
struct Piece {
  const Score& score;
  const SheetOptions& options;
  const Sizes& sizes;
  std::uint32_t number = 0;  // of several
  std::vector<MeasureColumns> measures;
  Links links;
  bool everything_rings = false;
  bool is_backup = false;
};

struct PlacedColumn {
  double x = 0;  // its middle
  const Column* column = nullptr;
  const engraving::Piece* piece = nullptr;  // nothing where only a chord symbol stands
  std::size_t index = 0;                    // counted over the whole piece
  std::size_t measure = 0;                  // index into Score::measures
};

struct PlacedMeasure {
  std::size_t measure = 0;  // index into Score::measures
  double left = 0;          // its left barline, or where the line begins
  double right = 0;
  double key_x = 0;              // where a key that changes here begins, on the notation staff
  double meter_x = 0;            // where the meter begins, if it is shown
  bool begins = true;            // false: it goes on from the line before
  bool ends = true;              // false: it goes on in the next line
  std::size_t first_column = 0;  // in the line
  std::size_t end_column = 0;
};

struct System {
  const Piece& piece;
  double staff_left = 0;  // where the strings begin, behind their names
  double staff_right = 0;
  double signs_left = 0;  // of clef and key on the notation staff
  std::vector<PlacedMeasure> measures{};
  std::vector<PlacedColumn> columns{};
  bool first = true;  // of its piece
  bool last = true;

  double string_y(int string) const { return (string - 1) * piece.sizes.string_gap; }
  const Measure& measure_of(const PlacedMeasure& placed) const {
    return piece.score.measures[placed.measure];
  }
  // Where a time of a measure is, between the columns around it.
  double x_at(const PlacedMeasure& placed, Fraction at) const;
  // Where links from the line before begin: behind all that stands before the first note.
  double links_left(TextFace& face) const;
  // The first and last column of a tuplet that are in this line; null where it has none.
  std::pair<const PlacedColumn*, const PlacedColumn*> ends_of(const PlacedMeasure& placed,
                                                              const engraving::TupletGroup& group) const;
  // The column with that number in the piece, if it is in this line.
  const PlacedColumn* column_with(std::size_t index) const;
};

// What the parts of a line draw with: where they have filled it to.
struct Canvas {
  Pen& pen;
  Skyline& above;
  Skyline& below;
};

// A line as it is drawn, to be moved to its place on a page.
struct Drawn {
  std::vector<Mark> marks;
  double top = 0;  // of everything, from the first string
  double bottom = 0;
};

// Each draws its part of a line, from the strings outwards.
void draw_tab_staff(const System& system, Canvas& canvas);
// Beyond what the skyline has, and no nearer than `least`; brackets reach that far beyond the notes.
void draw_tuplets(const System& system, double reach, double least, Pen& pen, Skyline& skyline);
void draw_rhythm(const System& system, Canvas& canvas);
void draw_chokes(const System& system, Canvas& canvas);
void draw_links(const System& system, Canvas& canvas);
void draw_rows_below(const System& system, Canvas& canvas);
void draw_measure_numbers(const System& system, Canvas& canvas);
void draw_close_above(const System& system, Canvas& canvas);
void draw_roles(const System& system, Canvas& canvas);
// Whether all that says what it is for is backup, which the name of the part tells better than a bracket.
bool is_backup_alone(const Score& score);
// Over what `canvas.above` has so far.
void draw_notation_staff(const System& system, Canvas& canvas);
void draw_rows_above(const System& system, Canvas& canvas);

Drawn draw(const System& system, TextFace& face);

}  // namespace fifthpeg::sheet
