// How large everything on a sheet is. One length rules them all: the distance of two strings.
//
// Figures without another source are what is readable at arm's length, some 60 cm, where capitals of 2 mm are
// read with ease (about 11 minutes of arc; 16 to 22 are usual for screens, ISO 9241-303, from memory, printed
// pages get by with less).
#pragma once

#include "formats/sheet/drawing.hpp"

namespace fifthpeg::sheet {

struct Sizes {
  explicit Sizes(double factor);

  double string_gap;    // of two tab lines
  double staff_gap;     // of two lines of the notation staff
  double tab_height;    // four string gaps
  double staff_height;  // four staff gaps

  // Texts.
  TextStyle fret, grace_fret, string_name, meter, staff_meter;
  TextStyle technique, picking, finger, lyric, chord, shape, words, rehearsal, number, ending, tuplet;
  TextStyle grid_number;  // fingers and the first fret of a chord grid
  TextStyle title, piece_title, subtitle, credit, set_up, about, legend, page_number;

  // The outline of a melody note: what it covers beside its number, and of the size of that over and under
  // the middle, so that two on neighboring strings do not touch.
  double outline_pad;
  double outline_half;

  // Lines.
  double thin;        // strings, staff lines, ledger lines
  double stem_width;  // stems, barlines, brackets
  double heavy;       // of a final barline

  // Below the tab: from the lowest string to where stems begin, and how long they are.
  double stem_gap;
  double stem_length;
  double grace_stem_length;
  double beam_thickness;
  double beam_step;  // from one beam to the next

  // Along the line.
  double shortest_gap;  // natural distance of the shortest value that is usual in a piece
  double pad;           // least white between what stands on the staff
  double text_pad;      // ... between texts of one row
  double bar_pad;       // from a barline to what comes next, and from the last to it
  double row_pad;       // between rows
};

}  // namespace fifthpeg::sheet
