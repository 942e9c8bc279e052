#include "engraving/tuplets.hpp"

#include <algorithm>

#include "base/wide.hpp"

namespace fifthpeg::engraving {
namespace {

// The printed value of the notes counted in the group, from how long the group sounds.
NoteValue unit_of(std::int64_t ticks, const Stroke& first, std::size_t level, const Grid& grid) {
  constexpr base::Wide limit = base::Wide{1} << 62;
  // One of `actual` in the time of `normal`: ticks / normal of this level, scaled by the outer levels.
  base::Wide num = base::Wide{ticks} * value_units;
  base::Wide den = base::Wide{grid.whole} * first.tuplets[level].normal;
  for (std::size_t outer = 0; outer < level; ++outer) {
    num *= first.tuplets[outer].actual;
    den *= first.tuplets[outer].normal;
    if (num > limit * value_units || den > limit) return {};
  }
  if (den <= 0 || num % den != 0 || num / den > limit) return {};
  return single_value(static_cast<std::int64_t>(num / den));
}

bool is_beamed_as_one(const Engraving& engraving, const TupletGroup& group) {
  const auto primary = [&](std::size_t i) { return engraving.pieces[i].beams[0]; };
  if (primary(group.first_piece) != Beam::begin || primary(group.last_piece) != Beam::end) return false;
  for (std::size_t i = group.first_piece + 1; i < group.last_piece; ++i) {
    if (primary(i) != Beam::carry_on && engraving.pieces[i].duration != 0) return false;
  }
  return true;
}

}  // namespace

void group_tuplets(const Measure& measure, const Grid& grid, Engraving& engraving) {
  engraving.groups.clear();
  std::array<std::size_t, most_tuplet_levels> open{};  // index of the open group of a level + 1, or 0
  for (std::size_t i = 0; i < engraving.pieces.size(); ++i) {
    const Piece& piece = engraving.pieces[i];
    const Stroke& stroke = measure.strokes[piece.stroke];
    const std::size_t levels = std::min(stroke.tuplets.size(), most_tuplet_levels);
    for (std::size_t level = 0; piece.first && level < levels; ++level) {
      if (!stroke.tuplets[level].starts) continue;
      TupletGroup group;
      group.level = level;
      group.first_piece = group.last_piece = i;
      engraving.groups.push_back(group);
      open[level] = engraving.groups.size();
    }
    for (std::size_t level = 0; piece.last && level < levels; ++level) {
      if (!stroke.tuplets[level].stops || open[level] == 0) continue;
      TupletGroup& group = engraving.groups[open[level] - 1];
      open[level] = 0;
      group.last_piece = i;
      group.closed = true;
      const Piece& first = engraving.pieces[group.first_piece];
      group.unit =
          unit_of(piece.onset + piece.duration - first.onset, measure.strokes[first.stroke], level, grid);
      group.bracket = level > 0 || !is_beamed_as_one(engraving, group);
    }
  }
}

}  // namespace fifthpeg::engraving
