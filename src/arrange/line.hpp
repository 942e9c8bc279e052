// The styles that play the line of a melody itself rather than a pattern around it. Melodic: scales laid
// across the strings, and where a note is long, the drone or an open string of the chord after it.
// Single-string: closed positions, and under a long note a second one of the chord, played together.
//
// Where the notes lie is for finger() to find, in that style; here is decided which notes there are.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "fifthpeg/arrange.hpp"
#include "fifthpeg/harmony.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::arranging {

constexpr bool is_line(Style style) {
  return style == Style::melodic || style == Style::single_string;
}

// How a break of a line differs from others; by default not at all.
struct LineManner {
  std::optional<FretRange> position;
  int fills = 0;  // other numbers prefer other notes beside the line
};

struct Line {
  Score score;  // with strings and fingers
  std::vector<MelodyNote> melody;
  std::vector<std::string> reasons;  // of each stroke with notes, in order
  std::int64_t cost = 0;             // of the hands
  Report report;
};

// The line of a score that has its chord symbols and stands where it is to sound, for its banjo; of chords
// that were inferred, how sure they are.
Line line_of(const Score& score, const std::vector<InferredChord>& inferred, Style style, int level,
             const LineManner& manner = {});

}  // namespace fifthpeg::arranging
