// How a meter is felt: its units in groups, which note values are parted and beamed by.
// Sources: common practice; E. Gould, Behind Bars, London 2011, chapter on meter (from memory).
#pragma once

#include <cstdint>
#include <vector>

#include "engraving/grid.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::engraving {

// The units of a meter in groups: 4/4 {2, 2}, 3/4 {3}, 6/8 {3, 3}, 5/8 {3, 2}, 7/8 {2, 2, 3}, additive
// meters as they are written. Empty where the meter cannot be felt: more than 64 units, or a unit that is no
// note value (4/6).
std::vector<int> beat_groups(const Meter& meter);

// The groups of one measure in ticks, on the measure's own time line.
struct BeatMap {
  std::int64_t unit = 0;             // 0: no map, nothing is parted by beats
  std::int64_t bar = 0;              // a whole measure of the meter
  std::int64_t shift = 0;            // where the measure begins in its meter: later than 0 in a pickup
  std::vector<std::int64_t> bounds;  // of the groups, shift included, from 0 to behind the measure
  bool compound = false;             // units come in dotted beats
  bool four_beats = false;           // 4/4, 4/2: a note from the start of the bar may reach over its middle
  std::int64_t beam_span = 0;        // eighths are beamed together over this much; 0: over a group
  std::int64_t beam_beat = 0;        // shorter notes over this much; 0: over a group
};

BeatMap beat_map(const Measure& measure, const Grid& grid);

}  // namespace fifthpeg::engraving
