// What stands close over a staff: measure numbers, chokes, articulations, and how long strings ring.
#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "base/text.hpp"
#include "formats/sheet/layout/system.hpp"

namespace fifthpeg::sheet {
namespace {

class ClosePen {
 public:
  ClosePen(const System& system, Canvas& canvas)
      : system_(system), sizes_(system.piece.sizes), canvas_(canvas) {}

  void draw_numbers() {
    for (const PlacedMeasure& placed : system_.measures) {
      const Measure& measure = system_.measure_of(placed);
      if (!placed.begins || measure.implicit || measure.number.empty()) continue;
      const std::string number = base::one_line(measure.number);
      // Some files number a pickup; on paper it has none (common practice), and a 0 reads as an open string.
      if (placed.measure == 0 && number == "0") continue;
      const bool opens = &placed == system_.measures.data();
      put_text(Kind::measure_number, number, sizes_.number, opens ? system_.staff_left : placed.left);
    }
  }

  // All arrows before their words, which then stand over them.
  void draw_chokes() {
    std::vector<std::pair<const Note*, double>> drawn;
    for (const PlacedColumn& column : system_.columns) {
      if (column.piece == nullptr || !column.piece->first) continue;
      for (const Note& note : column.column->stroke->notes) {
        if (note.choke && note.placement) drawn.emplace_back(&note, draw_arrow(column, note));
      }
    }
    for (const auto& [note, left] : drawn) {
      put_text(Kind::technique, choke_text(*note), sizes_.technique, left);
    }
  }

  void draw_articulations(const PlacedColumn& column) {
    const Articulations& signs = column.column->stroke->articulations;
    const double gap = sizes_.string_gap;
    const double width = gap * 0.4;
    const double x = column.x;
    if (signs.staccato) {
      const double y = beyond(x, width / 2) - gap * 0.12;
      seen(canvas_.pen.disc(Kind::articulation, {x, y}, gap * 0.13));
    }
    if (signs.tenuto) {
      const double y = beyond(x, width);
      seen(canvas_.pen.line(Kind::articulation, {x - width, y}, {x + width, y}, sizes_.stem_width * 1.3));
    }
    if (signs.accent) {
      const double y = beyond(x, width) - gap * 0.25;
      seen(canvas_.pen.line(Kind::articulation, {x - width, y - gap * 0.25}, {x + width, y},
                            sizes_.stem_width));
      seen(canvas_.pen.line(Kind::articulation, {x - width, y + gap * 0.25}, {x + width, y},
                            sizes_.stem_width));
    }
    if (signs.strong_accent) {
      const double y = beyond(x, width);
      seen(canvas_.pen.line(Kind::articulation, {x - width * 0.7, y}, {x, y - gap * 0.8}, sizes_.stem_width));
      seen(canvas_.pen.line(Kind::articulation, {x + width * 0.7, y}, {x, y - gap * 0.8}, sizes_.stem_width));
    }
    if (signs.fermata) {
      const SignOutline& outline = outline_of(MusicSign::fermata);
      const double space = sizes_.staff_gap;
      const double half = (outline.right - outline.left) / 2 * space;
      const double y = beyond(x, half);
      seen(canvas_.pen.sign(Kind::articulation, MusicSign::fermata,
                            {x - half - outline.left * space, y - outline.bottom * space}, space));
    }
  }

  // "let ring" and a dashed line as long as it goes on, where not everything rings.
  void draw_ring() {
    if (system_.piece.everything_rings) return;
    const PlacedColumn* first = nullptr;
    double end = 0;
    const auto finish = [&] {
      if (first != nullptr) draw_ring_bracket(first->x, end);
      first = nullptr;
    };
    for (const PlacedMeasure& placed : system_.measures) {
      for (std::size_t i = placed.first_column; i < placed.end_column; ++i) {
        const PlacedColumn& column = system_.columns[i];
        if (column.piece == nullptr || column.column->grace) continue;
        const auto& notes = column.column->stroke->notes;
        const bool rings = std::any_of(notes.begin(), notes.end(),
                                       [](const Note& note) { return note.ring == Ring::let_ring; });
        if (!rings) {
          finish();
          continue;
        }
        if (first == nullptr) first = &column;
        end = i + 1 < placed.end_column ? system_.columns[i + 1].x - sizes_.string_gap * 0.7
                                        : placed.right - sizes_.string_gap * 0.3;
      }
    }
    finish();
  }

 private:
  void draw_ring_bracket(double from, double to) {
    constexpr const char* words = "let ring";
    const TextSize& size = canvas_.pen.size_of(words, sizes_.technique);
    const double left =
        std::max(0.0, std::min(from - sizes_.string_gap * 0.3, system_.staff_right - size.width));
    const double hook = sizes_.string_gap * 0.45;
    to = std::max(to, left + size.width);
    const double base = canvas_.above.reach(left, to) - sizes_.row_pad;
    const Box box = canvas_.pen.text(Kind::ring, words, sizes_.technique, {left, base - size.descent});
    const double y = base - size.descent - size.ascent / 2;
    const double start = box.right + sizes_.string_gap * 0.25;
    if (to > start) {
      canvas_.pen.line(Kind::ring, {start, y}, {to, y}, sizes_.thin * 1.4, true);
      canvas_.pen.line(Kind::ring, {to, y}, {to, y + hook}, sizes_.thin * 1.4);
    }
    canvas_.above.raise(left, to, std::min(box.top, y));
  }

  // Up from the fret number, to the side that has room; returns where it begins.
  double draw_arrow(const PlacedColumn& column, const Note& note) {
    const double gap = sizes_.string_gap;
    const double half =
        fret_reach(note, false, *column.column->stroke, system_.piece.options, sizes_, canvas_.pen.face());
    const double left = column.x + half + gap * 0.15;
    const double right = left + gap * 0.55;
    const double head = gap * 0.2;
    const double y = system_.string_y(note.placement->string);
    const double top = canvas_.above.reach(left, right + head) - gap * 0.5;
    canvas_.pen.line(Kind::choke, {left, y - gap * 0.5}, {right, top + head * 2}, sizes_.stem_width);
    canvas_.pen.polygon(Kind::choke,
                        {{right, top}, {right - head, top + head * 2}, {right + head, top + head * 2}});
    canvas_.above.raise(left, right + head, top);
    return left;
  }

  static std::string choke_text(const Note& note) {
    const Choke& choke = *note.choke;
    std::string text = choke.before ? "choked" : "choke";
    if (choke.cents % 100 == 0) {
      text += " " + std::to_string(note.placement->fret + choke.cents / 100);
    } else {
      text += " " + std::to_string(choke.cents) + " cents";
    }
    return choke.release ? text + ", let down" : text;
  }

  // Where something may stand over what is there already.
  double beyond(double x, double half) const {
    return canvas_.above.reach(x - half, x + half) - sizes_.string_gap * 0.3;
  }
  void seen(const Box& box) { canvas_.above.raise(box.left, box.right, box.top); }

  void put_text(Kind kind, const std::string& text, TextStyle style, double left) {
    const TextSize size = canvas_.pen.size_of(text, style);
    left = std::max(0.0, std::min(left, system_.staff_right - size.width));
    const double reach =
        canvas_.above.reach(left + size.left - sizes_.text_pad, left + size.right + sizes_.text_pad);
    const double base = reach - sizes_.row_pad * 0.7 - size.descent;
    seen(canvas_.pen.text(kind, text, style, {left, base}));
  }

  const System& system_;
  const Sizes& sizes_;
  Canvas& canvas_;
};

}  // namespace

void draw_chokes(const System& system, Canvas& canvas) {
  ClosePen(system, canvas).draw_chokes();
}

void draw_measure_numbers(const System& system, Canvas& canvas) {
  ClosePen(system, canvas).draw_numbers();
}

void draw_close_above(const System& system, Canvas& canvas) {
  ClosePen pen(system, canvas);
  for (const PlacedColumn& column : system.columns) {
    if (column.piece != nullptr && column.piece->first) pen.draw_articulations(column);
  }
  pen.draw_ring();
}

}  // namespace fifthpeg::sheet
