// The whole numbers that stand for exact times while a measure is engraved and written.
#pragma once

#include <cstdint>

#include "fifthpeg/fraction.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::engraving {

// Above that, each measure has its own: durations stay within 32 bits in measures of up to a thousand
// quarters.
inline constexpr std::int64_t max_score_divisions = 1'000'000;

struct Grid {
  std::int64_t divisions = 1;  // of a quarter note: what durations are stated in
  std::int64_t whole = 4096;   // ticks of a whole note: a multiple of 4 * divisions and of value_units
  bool exact = true;           // false: times are rounded to divisions

  // Ticks up to here can be counted, four of them even added up.
  static constexpr std::int64_t longest = INT64_MAX / 4;

  explicit Grid(std::int64_t divisions_, bool exact_ = true);
  Grid() : Grid(1) {}

  // Throws WriteError for a time too long to be counted.
  std::int64_t ticks(Fraction time) const;
  std::int64_t division_ticks() const { return whole / (4 * divisions); }
  std::int64_t in_divisions(std::int64_t ticks) const { return ticks / division_ticks(); }
};

[[noreturn]] void throw_too_long();

// The least divisions of a quarter in which every time of the measure, and every place where engraving may
// part a stroke, is a whole number and which is a multiple of `start`; 0 where that is above `limit`.
std::int64_t divisions_for(const Measure& measure, std::int64_t start, std::int64_t limit);

// For all measures: the first that are at most max_score_divisions, or 0.
std::int64_t divisions_for(const Score& score);

// A measure's own grid, for scores without common divisions.
Grid grid_for(const Measure& measure);

}  // namespace fifthpeg::engraving
