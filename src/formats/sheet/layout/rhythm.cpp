// How long the notes are: stems, flags, beams, dots and tuplets under the strings.
//
// Tab has no heads to fill or leave open. A half note has the lower half of a stem, a whole note has none
// (common practice in printed tab).
#include <algorithm>
#include <array>
#include <optional>
#include <string>

#include "engraving/note_value.hpp"
#include "formats/sheet/layout/system.hpp"
#include "formats/sheet/music_signs.hpp"

namespace fifthpeg::sheet {
namespace {

using engraving::Beam;

// Where the stems of grace notes and others begin and end.
struct StemPlace {
  double base = 0;
  double tip = 0;
  double scale = 1;
};

StemPlace stem_place(const Sizes& sizes, bool grace) {
  const double base = sizes.tab_height + sizes.stem_gap;
  return {base, base + (grace ? sizes.grace_stem_length : sizes.stem_length), grace ? 0.6 : 1.0};
}

class RhythmPen {
 public:
  RhythmPen(const System& system, Canvas& canvas)
      : system_(system), sizes_(system.piece.sizes), canvas_(canvas) {}

  void draw() {
    for (const PlacedMeasure& measure : system_.measures) {
      open_ = {};
      const PlacedColumn* last = nullptr;
      for (std::size_t i = measure.first_column; i < measure.end_column; ++i) {
        const PlacedColumn& column = system_.columns[i];
        if (column.piece == nullptr || column.column->stroke->is_rest()) continue;
        draw_stem(column);
        draw_beams(column, measure);
        last = &column;
      }
      // Beams of a measure that goes on in the next line.
      for (std::size_t level = 0; level < open_.size(); ++level) {
        if (open_.at(level) && last != nullptr) close_beam(*last, level, measure.right);
      }
    }
    draw_tuplets(system_, sizes_.string_gap * 0.35, stem_place(sizes_, false).tip, canvas_.pen,
                 canvas_.below);
  }

 private:
  void seen(const Box& box) { canvas_.below.raise(box.left, box.right, box.bottom); }

  void draw_stem(const PlacedColumn& column) {
    const engraving::NoteValue value = column.piece->value;
    const StemPlace place = stem_place(sizes_, column.column->grace);
    draw_dots(column, place);
    if (!value || value.type > engraving::quarter_type + 1) return;
    const bool half = value.type == engraving::quarter_type + 1;
    const double from = half ? (place.base + place.tip) / 2 : place.base;
    seen(canvas_.pen.line(Kind::stem, {column.x, from}, {column.x, place.tip},
                          sizes_.stem_width * place.scale));
    const int flags = engraving::beam_count(value.type);
    if (flags > 0 && column.piece->beams.front() == Beam::none) draw_flags(column, flags, place);
    if (column.column->stroke->grace == Grace::slashed) {
      const double reach = sizes_.string_gap * 0.4;
      const double y = (place.base + place.tip) / 2;
      seen(canvas_.pen.line(Kind::stem, {column.x - reach, y + reach}, {column.x + reach, y - reach},
                            sizes_.stem_width * place.scale));
    }
  }

  // Many stand closer, so that the uppermost stays under the numbers of the fifth string.
  void draw_flags(const PlacedColumn& column, int flags, const StemPlace& place) {
    const double space = sizes_.staff_gap * place.scale;
    const double height = -outline_of(MusicSign::down_flag).top * space;
    const double room = place.tip - place.base + sizes_.stem_gap * 0.4 - height;
    const double step = std::min(0.75 * space, room / std::max(1, flags - 1));
    for (int i = 0; i < flags; ++i) {
      const Point end{column.x, place.tip - i * step};
      seen(canvas_.pen.sign(Kind::flag, MusicSign::down_flag, end, space));
    }
  }

  void draw_dots(const PlacedColumn& column, const StemPlace& place) {
    for (int dot = 0; dot < column.piece->value.dots; ++dot) {
      const double x = column.x + sizes_.string_gap * (0.35 + 0.3 * dot) * place.scale;
      seen(canvas_.pen.disc(Kind::dot, {x, place.base + sizes_.string_gap * 0.15},
                            sizes_.string_gap * 0.12 * place.scale));
    }
  }

  // A beam under the stems from x to x.
  void draw_beam(double from, double to, std::size_t level, const StemPlace& place) {
    const double bottom = place.tip - static_cast<double>(level) * sizes_.beam_step * place.scale;
    const double top = bottom - sizes_.beam_thickness * place.scale;
    const double half = sizes_.stem_width * place.scale / 2;
    const double left = std::min(from, to) - half;
    const double right = std::max(from, to) + half;
    seen(canvas_.pen.polygon(Kind::beam, {{left, top}, {right, top}, {right, bottom}, {left, bottom}}));
  }

  void close_beam(const PlacedColumn& column, std::size_t level, double to) {
    draw_beam(*open_.at(level), to, level, stem_place(sizes_, column.column->grace));
    open_.at(level).reset();
  }

  void draw_beams(const PlacedColumn& column, const PlacedMeasure& measure) {
    const double hook = sizes_.string_gap * 0.5;
    for (std::size_t level = 0; level < open_.size(); ++level) {
      auto& open = open_.at(level);
      switch (column.piece->beams.at(level)) {
        case Beam::none:
          break;
        case Beam::begin:
          open = column.x;
          break;
        case Beam::carry_on:
          if (!open) open = measure.left;
          break;
        case Beam::end:
          if (!open) open = measure.left;
          close_beam(column, level, column.x);
          break;
        case Beam::forward_hook:
          draw_beam(column.x, column.x + hook, level, stem_place(sizes_, column.column->grace));
          break;
        case Beam::backward_hook:
          draw_beam(column.x - hook, column.x, level, stem_place(sizes_, column.column->grace));
          break;
      }
    }
  }

  const System& system_;
  const Sizes& sizes_;
  Canvas& canvas_;
  std::array<std::optional<double>, 8> open_{};  // where the beam of each level began
};

}  // namespace

void draw_rhythm(const System& system, Canvas& canvas) {
  RhythmPen(system, canvas).draw();
}

}  // namespace fifthpeg::sheet
