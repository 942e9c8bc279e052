#include "engraving/written_values.hpp"

#include <vector>

#include "engraving/stroke_splitter.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::engraving {
namespace {

// The strokes of a measure that are several notes, and would be a single one.
void split(const Measure& measure, Engraving& engraving, std::vector<std::size_t>& parted) {
  const Grid grid = grid_for(measure);
  split_strokes(measure, grid, beat_map(measure, grid), engraving);
  for (const Piece& piece : engraving.pieces) {
    if (!piece.first || piece.last) continue;
    if (single_value(units_in(measure.strokes[piece.stroke].duration))) parted.push_back(piece.stroke);
  }
}

}  // namespace

void settle_unparted(Score& score) {
  Engraving engraving;
  std::vector<std::size_t> asked;
  std::vector<std::size_t> parted;
  for (Measure& measure : score.measures) {
    asked.clear();
    parted.clear();
    for (std::size_t i = 0; i < measure.strokes.size(); ++i) {
      if (!measure.strokes[i].unparted) continue;
      measure.strokes[i].unparted = false;
      asked.push_back(i);
    }
    if (asked.empty()) continue;
    try {
      split(measure, engraving, parted);
    } catch (const WriteError&) {  // times that nobody can print
      continue;
    }
    auto next = parted.begin();
    for (const std::size_t stroke : asked) {
      while (next != parted.end() && *next < stroke) ++next;
      measure.strokes[stroke].unparted = next != parted.end() && *next == stroke;
    }
  }
}

}  // namespace fifthpeg::engraving
