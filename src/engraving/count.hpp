// How a measure is counted aloud, and how its strokes are spaced by it.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg::engraving {

// A place in a measure that is counted or at which a stroke begins.
struct CountedPlace {
  Fraction offset;    // from the start of the measure
  std::string label;  // "1", "&", or empty
  int room = 3;       // to the next place: columns of text, or anything in proportion to them
  bool on_beat = false;
};

// A beat in more parts than can be told apart is not divided in proportion: its strokes are counted so.
inline constexpr std::string_view unproportioned_label = ",";

// What is said at a part of a beat: its number, "&", "e", "a", or "." where there is no word for it.
std::string count_label(std::int64_t beat, std::int64_t part, std::int64_t parts);

// How much of its meter passes before a measure, as it is counted: a first measure that is short is a pickup.
Fraction counted_from(const Measure& measure, bool first);

// The places of a measure, in order. Beats are as wide as the most divided one needs, and their places stand
// in proportion. Counted 1 e & a, triplets 1 & a, by the lower number of the meter (common practice); a
// pickup is counted from the end of its meter.
std::vector<CountedPlace> counted_places(const Measure& measure, bool first);

}  // namespace fifthpeg::engraving
