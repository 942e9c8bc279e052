// Breaks of one tune that differ from each other: the same melody, played by other cells and elsewhere on the
// neck.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "arrange/path.hpp"
#include "arrange/plan.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::arranging {

// The first break plays as it pleases; the second up the neck, from this level on.
inline constexpr int high_break_from = 3;
constexpr bool is_high_break(std::size_t number, int level) {
  return number == 1 && level >= high_break_from;
}

// What a break plays.
struct BreakWay {
  std::vector<Unit> units;
  Way way;
};

// The units of a break with those notes of the melody that another one keeps, none of which it leaves out.
std::vector<Unit> with_kept_melody(const BreakWay& other);

// Candidates with small costs of one break, drawn from a seed, the same on every machine; dearer by `again`
// for each earlier break that plays them there, and, up the neck, for stopped notes below.
Candidates varied(const Candidates& plain, const std::vector<BreakWay>& earlier, std::uint32_t seed,
                  bool high, int again);
// How dear, one try after the other, until the break is another one.
inline constexpr int dearer_again[] = {12, 30, 80, 200};

// Whether at least a third of the measures of a score are played otherwise than in each of others.
bool is_another(const Score& score, const std::vector<Score>& others);
// Whether its notes on the long strings lie further up the neck, in the mean.
bool lies_higher(const Score& score, const Score& than);

}  // namespace fifthpeg::arranging
