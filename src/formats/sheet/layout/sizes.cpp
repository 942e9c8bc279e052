#include "formats/sheet/layout/sizes.hpp"

namespace fifthpeg::sheet {
namespace {

constexpr double usual_string_gap = 2.7;
// A staff of 7 mm, as in most sheet music (common practice).
constexpr double usual_staff_gap = 1.75;

TextStyle plain(double size) {
  return {size, false, false};
}
TextStyle bold(double size) {
  return {size, true, false};
}
TextStyle italic(double size) {
  return {size, false, true};
}

}  // namespace

Sizes::Sizes(double factor) : string_gap(usual_string_gap * factor), staff_gap(usual_staff_gap * factor) {
  const double gap = string_gap;
  tab_height = 4 * gap;
  staff_height = 4 * staff_gap;

  fret = bold(1.1 * gap);
  grace_fret = bold(0.8 * gap);
  string_name = plain(0.95 * gap);
  // Two figures in the middle of the four gaps, with white between: fret numbers must not look small beside
  // them.
  meter = bold(2.1 * gap);
  staff_meter = bold(2.6 * staff_gap);
  technique = italic(0.95 * gap);
  picking = plain(1.15 * gap);
  finger = italic(1.05 * gap);
  lyric = plain(1.15 * gap);
  chord = bold(1.45 * gap);
  shape = italic(1.05 * gap);
  words = italic(1.15 * gap);
  rehearsal = bold(1.3 * gap);
  number = italic(0.85 * gap);
  ending = plain(1.05 * gap);
  tuplet = italic(0.95 * gap);
  grid_number = plain(1.0 * gap);
  title = bold(2.3 * gap);
  piece_title = bold(1.7 * gap);
  subtitle = plain(1.4 * gap);
  credit = plain(1.15 * gap);
  set_up = plain(1.2 * gap);
  about = plain(1.25 * gap);
  legend = plain(0.95 * gap);
  page_number = plain(1.05 * gap);

  outline_pad = 0.2 * gap;
  outline_half = 0.435;

  thin = 0.055 * gap;
  stem_width = 0.085 * gap;
  heavy = 0.32 * gap;

  stem_gap = 0.75 * gap;
  stem_length = 2.3 * gap;
  grace_stem_length = 1.3 * gap;
  beam_thickness = 0.34 * gap;
  beam_step = 0.55 * gap;

  shortest_gap = 1.9 * gap;
  pad = 0.4 * gap;
  text_pad = 0.35 * gap;
  bar_pad = 0.75 * gap;
  row_pad = 0.3 * gap;
}

}  // namespace fifthpeg::sheet
