// Random scores that can be played together.
#pragma once

#include <utility>

#include "property/random_score.hpp"

namespace fifthpeg::testing {

struct RandomParts {
  Score first;
  Score second;
};

// Of the same measures, with repeats where the first has some; each on a banjo of its own.
inline RandomParts random_parts(std::uint64_t seed, RandomScoreOptions options = {}) {
  options.changes = false;
  RandomParts parts{random_score(seed, options), {}};
  options.repeats = false;
  for (std::uint64_t other = seed + 1000; parts.second.measures.empty(); ++other) {
    Score score = random_score(other, options);
    const Meter& meter = score.measures.front().meter;
    const Meter& wanted = parts.first.measures.front().meter;
    if (meter.beats == wanted.beats && meter.unit == wanted.unit) parts.second = std::move(score);
  }
  parts.first.part_name = "Banjo";
  parts.second.part_name = "Second Banjo";
  parts.second.work = parts.first.work;
  parts.second.swing = parts.first.swing;
  for (std::size_t i = 0; i < parts.first.measures.size(); ++i) {
    const Measure& from = parts.first.measures[i];
    Measure& to = parts.second.measures[i];
    to.repeat_starts = from.repeat_starts;
    to.repeat_times = from.repeat_times;
    to.ending = from.ending;
    to.right_bar = from.right_bar;
  }
  return parts;
}

}  // namespace fifthpeg::testing
