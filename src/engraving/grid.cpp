#include "engraving/grid.hpp"

#include <numeric>

#include "base/wide.hpp"
#include "engraving/note_value.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::engraving {
namespace {

// Measures may be so fine by themselves; beyond it times are rounded.
constexpr std::int64_t max_measure_divisions = std::int64_t{1} << 31;

// As many divisions of a quarter note, or a multiple, that 1/den of a whole note is a whole number of them; 0
// where that is above the limit.
std::int64_t divisions_with(std::int64_t quarter, std::int64_t den, std::int64_t limit) {
  const base::Wide finer = base::Wide{quarter} * (den / std::gcd(den, quarter * 4));
  return finer > limit ? 0 : static_cast<std::int64_t>(finer);
}

// A stroke in tuplets whose printed value is no single one is parted at binary fractions of that value.
std::int64_t den_of_parts(const Stroke& stroke) {
  Fraction ratio = 1;
  for (const Tuplet& tuplet : stroke.tuplets) {
    if (tuplet.actual > 0 && tuplet.normal > 0) ratio *= Fraction(tuplet.actual, tuplet.normal);
  }
  const Fraction printed = stroke.duration * ratio;
  if (printed.num() == 1 || printed.num() == 3 || printed.num() == 7) return 1;
  return (Fraction(1, printed.den()) / ratio).den();
}

}  // namespace

Grid::Grid(std::int64_t divisions_, bool exact_)
    : divisions(divisions_), whole(std::lcm(4 * divisions_, value_units)), exact(exact_) {}

std::int64_t Grid::ticks(Fraction time) const {
  const base::Wide scaled = base::Wide{time.num()} * whole;
  base::Wide result = scaled / time.den();
  if (!exact) {
    const base::Wide unit = base::Wide{division_ticks()};
    result = (scaled + unit * time.den() / 2) / (unit * time.den()) * unit;
  }
  if (result > longest || result < -longest) throw_too_long();
  return static_cast<std::int64_t>(result);
}

void throw_too_long() {
  throw WriteError("time-overflow", "a time is too long to be written in notes; split the measure");
}

std::int64_t divisions_for(const Measure& measure, std::int64_t start, std::int64_t limit) {
  std::int64_t divisions = start;
  const auto include = [&](std::int64_t den) {
    if (divisions != 0) divisions = divisions_with(divisions, den, limit);
  };
  if (measure.meter.unit > 0) include(measure.meter.unit);
  for (const Stroke& stroke : measure.strokes) {
    if (stroke.grace != Grace::none) continue;
    include(stroke.duration.den());
    if (!stroke.tuplets.empty()) include(den_of_parts(stroke));
  }
  for (const Tempo& tempo : measure.tempos) include(tempo.at.den());
  for (const KeyChange& change : measure.key_changes) include(change.at.den());
  for (const ChordSymbol& chord : measure.chords) include(chord.at.den());
  for (const Direction& direction : measure.directions) include(direction.at.den());
  return divisions;
}

std::int64_t divisions_for(const Score& score) {
  std::int64_t divisions = 1;
  for (const Measure& measure : score.measures) {
    divisions = divisions_for(measure, divisions, max_score_divisions);
    if (divisions == 0) return 0;
  }
  return divisions;
}

Grid grid_for(const Measure& measure) {
  const std::int64_t divisions = divisions_for(measure, 1, max_measure_divisions);
  if (divisions != 0) return Grid(divisions);
  return Grid(std::int64_t{1} << 20, false);
}

}  // namespace fifthpeg::engraving
