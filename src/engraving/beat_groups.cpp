#include "engraving/beat_groups.hpp"

#include <algorithm>
#include <numeric>

namespace fifthpeg::engraving {
namespace {

constexpr int most_units = 64;
constexpr std::int64_t most_groups = 1024;  // in one measure

void repeat(std::vector<int>& groups, int group, int units) {
  for (int left = units; left > 0; left -= group) groups.push_back(std::min(group, left));
}

bool is_pickup(const Measure& measure) {
  return measure.implicit && measure.length < measure.meter.length();
}

}  // namespace

std::vector<int> beat_groups(const Meter& meter) {
  std::vector<int> groups;
  if (meter.beats.empty() || meter.beats.size() > most_units) return groups;
  if (meter.unit < 1 || meter.unit > 1024 || (meter.unit & (meter.unit - 1)) != 0) return groups;
  for (const int beats : meter.beats) {
    if (beats < 1 || beats > most_units) return groups;
  }
  if (meter.beats.size() > 1) return meter.beats;
  const int units = meter.beats.front();
  if (units <= 3) {
    groups.push_back(units);
  } else if (units % 3 == 0) {
    repeat(groups, 3, units);
  } else if (units == 4) {
    groups = {2, 2};
  } else if (units % 4 == 0) {
    repeat(groups, 4, units);
  } else if (units == 5) {
    groups = {3, 2};
  } else if (units % 2 == 0) {
    repeat(groups, 2, units);
  } else {
    repeat(groups, 2, units - 3);
    groups.push_back(3);
  }
  return groups;
}

BeatMap beat_map(const Measure& measure, const Grid& grid) {
  BeatMap map;
  const Meter& meter = measure.meter;
  const std::vector<int> groups = beat_groups(meter);
  if (groups.empty() || !grid.exact) return map;
  const std::int64_t unit = grid.whole / meter.unit;
  const std::int64_t bar = unit * std::accumulate(groups.begin(), groups.end(), std::int64_t{0});
  const std::int64_t length = grid.ticks(measure.length);
  if (bar % grid.division_ticks() != 0 || length / unit > most_groups) return map;
  map.unit = unit;
  map.bar = bar;
  map.shift = is_pickup(measure) ? bar - length : 0;
  map.bounds.push_back(0);
  for (std::size_t i = 0; map.bounds.back() < map.shift + length; i = (i + 1) % groups.size()) {
    map.bounds.push_back(map.bounds.back() + unit * groups[i]);
  }
  map.compound = meter.is_compound();
  map.four_beats = meter.beats.size() == 1 && meter.beats.front() == 4;
  if (meter.unit <= 2) map.beam_span = grid.whole / 2;
  if (meter.unit <= 4) map.beam_beat = grid.whole / 4;
  return map;
}

}  // namespace fifthpeg::engraving
