// Over the staves: chord symbols and grids, shapes, words, rehearsal letters, jumps, tempo changes, endings.
#include <algorithm>
#include <string>
#include <vector>

#include "base/text.hpp"
#include "engraving/wording.hpp"
#include "formats/sheet/layout/system.hpp"

namespace fifthpeg::sheet {
namespace {

struct Word {
  std::string text;
  double left = 0;
};

struct PlacedGrid {
  const ChordGrid* grid = nullptr;
  double left = 0;
  double right = 0;
};

class RowsPen {
 public:
  RowsPen(const System& system, Canvas& canvas)
      : system_(system), sizes_(system.piece.sizes), canvas_(canvas) {}

  // All on one height; they are large and need more white under them than other words.
  void draw_symbols(const std::vector<Word>& words) {
    if (words.empty()) return;
    double base = 0;
    double descent = 0;
    for (const Word& word : words) {
      const TextSize& size = canvas_.pen.size_of(word.text, sizes_.chord);
      base = std::min(base, reach_over(word.left, size));
      descent = std::max(descent, size.descent);
    }
    base -= 2 * sizes_.row_pad + descent;
    for (const Word& word : words) {
      seen(canvas_.pen.text(Kind::chord_symbol, word.text, sizes_.chord, {word.left, base}));
    }
  }

  void draw_chords() {
    std::vector<Word> plain;
    std::vector<Word> over_grids;
    std::vector<PlacedGrid> grids;
    for (const PlacedColumn& column : system_.columns) {
      double left = column.x - sizes_.string_gap * 0.35;
      for (const ColumnChord& chord : column.column->chords) {
        if (chord.grid) {
          over_grids.push_back({chord.text, left + chord.text_left});
          grids.push_back({&*chord.grid, left, left + chord.width});
        } else {
          plain.push_back({chord.text, left});
        }
        left += chord.width + sizes_.text_pad;
      }
    }
    draw_symbols(plain);
    draw_grids(grids);
    draw_symbols(over_grids);
  }

  // Names of shapes are long: they take no room from the music, and stand over each other where they meet.
  void draw_shapes() {
    for (const PlacedColumn& column : system_.columns) {
      put(Kind::shape, column.column->shape, sizes_.shape, column.x - sizes_.string_gap * 0.35);
    }
  }

  void draw_directions(const PlacedMeasure& placed) {
    const Measure& measure = system_.measure_of(placed);
    const bool first = placed.measure == 0;
    for (const Tempo& tempo : measure.tempos) {
      const bool in_heading = first && tempo.at == 0;
      if (!in_heading && tempo.shown && is_here(placed, tempo.at)) {
        put(Kind::tempo, engraving::tempo_text(tempo), sizes_.words, system_.x_at(placed, tempo.at));
      }
    }
    if (!system_.piece.options.notation) draw_keys(placed, measure, first);
    for (const Direction& direction : measure.directions) draw_direction(placed, measure, direction);
    if (measure.repeat_times > 2 && placed.ends) {
      put_ending("play " + std::to_string(measure.repeat_times) + " times", placed.right);
    }
  }

  // Brackets over the measures of an ending that are in this line.
  void draw_endings() {
    const double hook = sizes_.string_gap * 0.8;
    for (const PlacedMeasure& placed : system_.measures) {
      if (system_.measure_of(placed).ending) {
        ending_base_ = std::min(ending_base_, canvas_.above.reach(placed.left, placed.right));
      }
    }
    for (const PlacedMeasure& placed : system_.measures) {
      const Measure& measure = system_.measure_of(placed);
      if (!measure.ending) continue;
      const double bottom = ending_base_ - sizes_.row_pad;
      const double top = bottom - sizes_.ending.size * 1.15;
      const double left = placed.left + sizes_.stem_width;
      const double right = placed.right - sizes_.stem_width;
      if (measure.ending->starts && placed.begins) {
        canvas_.pen.line(Kind::ending, {left, top}, {left, top + hook}, sizes_.stem_width);
        const std::string text = engraving::ending_text(*measure.ending);
        const TextSize& size = canvas_.pen.size_of(text, sizes_.ending);
        canvas_.pen.text(Kind::ending, text, sizes_.ending,
                         {left + sizes_.string_gap * 0.3, top + sizes_.string_gap * 0.3 + size.ascent});
      }
      canvas_.pen.line(Kind::ending, {left, top}, {right, top}, sizes_.stem_width);
      if (measure.ending->stop == Ending::Stop::closed && placed.ends) {
        canvas_.pen.line(Kind::ending, {right, top}, {right, top + hook}, sizes_.stem_width);
      }
      canvas_.above.raise(placed.left, placed.right, top);
    }
  }

 private:
  // Whether a time of a measure is in the part of it that this line has.
  bool is_here(const PlacedMeasure& placed, Fraction at) const {
    if (placed.first_column == placed.end_column) return placed.begins;
    const bool after_begin = placed.begins || at >= system_.columns[placed.first_column].column->at;
    if (placed.ends) return after_begin;
    const Column* last = system_.columns[placed.end_column - 1].column;
    const Column* next = last + 1;  // of the measure, which goes on
    return after_begin && at < next->at;
  }

  void draw_keys(const PlacedMeasure& placed, const Measure& measure, bool first) {
    if (!first && placed.begins && system_.piece.measures[placed.measure].shows_key) {
      put(Kind::direction, "Key: " + to_string(measure.key), sizes_.words, system_.x_at(placed, 0));
    }
    for (const KeyChange& change : measure.key_changes) {
      if (!is_here(placed, change.at)) continue;
      put(Kind::direction, "Key: " + to_string(change.key), sizes_.words, system_.x_at(placed, change.at));
    }
  }

  void draw_direction(const PlacedMeasure& placed, const Measure& measure, const Direction& direction) {
    const bool at_end = direction.at >= measure.length;
    if (at_end ? !placed.ends : !is_here(placed, direction.at)) return;
    const double x = at_end ? placed.right : system_.x_at(placed, direction.at);
    switch (direction.kind) {
      case Direction::Kind::rehearsal:
        put_boxed(base::one_line(direction.text), placed.begins && direction.at == 0 ? placed.left : x);
        return;
      case Direction::Kind::segno:
        put_sign(MusicSign::segno, x);
        return;
      case Direction::Kind::coda:
        put_sign(MusicSign::coda, x);
        return;
      case Direction::Kind::to_coda:
      case Direction::Kind::da_capo:
      case Direction::Kind::dal_segno:
      case Direction::Kind::fine:
        put_ending(engraving::direction_text(direction), at_end ? placed.right : x);
        return;
      case Direction::Kind::words:
      case Direction::Kind::dynamics:
        break;
    }
    const std::string text = engraving::direction_text(direction);
    if (at_end) {
      put_ending(text, x);
    } else {
      put(Kind::direction, text, sizes_.words, x - sizes_.string_gap * 0.35);
    }
  }

  // All begin at one height.
  void draw_grids(const std::vector<PlacedGrid>& grids) {
    if (grids.empty()) return;
    double top = 0;
    for (const PlacedGrid& placed : grids) {
      const double base = canvas_.above.reach(placed.left, placed.right) - 2 * sizes_.row_pad;
      top = std::min(top, base - placed.grid->height());
    }
    for (const PlacedGrid& placed : grids) {
      placed.grid->draw(canvas_.pen, {placed.left, top});
      canvas_.above.raise(placed.left, placed.right, top);
    }
  }

  void seen(const Box& box) { canvas_.above.raise(box.left, box.right, box.top); }
  // What a text that begins there has to stand over, with white on either side.
  double reach_over(double left, const TextSize& size) const {
    return canvas_.above.reach(left + size.left - sizes_.text_pad, left + size.right + sizes_.text_pad);
  }

  // Broken into lines where it is wider than the line of music.
  void put(Kind kind, const std::string& text, TextStyle style, double left) {
    if (text.empty()) return;
    const double width = system_.staff_right - system_.staff_left;
    const auto lines = canvas_.pen.face().wrapped(text, style, width);
    for (std::size_t i = lines.size(); i-- > 0;) {
      const TextSize size = canvas_.pen.size_of(lines[i], style);
      const double x = std::max(system_.staff_left, std::min(left, system_.staff_right - size.width));
      const double base = reach_over(x, size) - sizes_.row_pad - size.descent;
      seen(canvas_.pen.text(kind, lines[i], style, {x, base}));
    }
  }
  // Words that belong to a barline end there.
  void put_ending(const std::string& text, double right) {
    put(Kind::direction, text, sizes_.words, right - canvas_.pen.size_of(text, sizes_.words).width);
  }
  void put_boxed(const std::string& text, double left) {
    if (text.empty()) return;
    const double width = system_.staff_right - system_.staff_left;
    const std::string line = canvas_.pen.face().wrapped(text, sizes_.rehearsal, width * 0.9).front();
    const TextSize size = canvas_.pen.size_of(line, sizes_.rehearsal);
    const double pad = sizes_.string_gap * 0.25;
    const double right = std::min(left + size.right - size.left + 2 * pad, system_.staff_right);
    left = right - (size.right - size.left + 2 * pad);
    const double bottom =
        canvas_.above.reach(left - sizes_.text_pad, right + sizes_.text_pad) - sizes_.row_pad;
    const double base = bottom - pad - size.descent;
    canvas_.pen.text(Kind::rehearsal, line, sizes_.rehearsal, {left + pad - size.left, base});
    const double top = base - size.ascent - pad;
    seen(canvas_.pen.outline(Kind::rehearsal, {{left, top}, {right, top}, {right, bottom}, {left, bottom}},
                             sizes_.stem_width));
  }
  void put_sign(MusicSign sign, double x) {
    const SignOutline& outline = outline_of(sign);
    const double space = sizes_.staff_gap;
    const double left = std::min(x, system_.staff_right - (outline.right - outline.left) * space);
    const double right = left + (outline.right - outline.left) * space;
    const double bottom = canvas_.above.reach(left, right) - sizes_.row_pad;
    seen(canvas_.pen.sign(Kind::direction, sign,
                          {left - outline.left * space, bottom - outline.bottom * space}, space));
  }

  const System& system_;
  const Sizes& sizes_;
  Canvas& canvas_;
  double ending_base_ = 0;
};

}  // namespace

void draw_rows_above(const System& system, Canvas& canvas) {
  RowsPen pen(system, canvas);
  pen.draw_chords();
  pen.draw_shapes();
  for (const PlacedMeasure& placed : system.measures) pen.draw_directions(placed);
  pen.draw_endings();
}

}  // namespace fifthpeg::sheet
