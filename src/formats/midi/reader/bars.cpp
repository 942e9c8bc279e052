#include "formats/midi/reader/bars.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "fifthpeg/errors.hpp"
#include "score/limits.hpp"

namespace fifthpeg::midi::reader {
namespace {

constexpr std::int64_t irregular_grid = 64;  // of a whole note

void add_bar(Bars& bars, const Bar& bar) {
  if (bars.bars.size() == most_measures) {
    throw ReadError("the music would take more than " + std::to_string(most_measures) +
                    " measures; shorten the silence in it");
  }
  bars.bars.push_back(bar);
}

}  // namespace

std::size_t Bars::bar_at(double tick) const {
  const auto after =
      std::upper_bound(bars.begin(), bars.end(), tick, [](double t, const Bar& bar) { return t < bar.tick; });
  return after == bars.begin() ? 0 : static_cast<std::size_t>(after - bars.begin()) - 1;
}

Fraction Bars::offset_at(std::size_t bar, double tick, std::int64_t den) const {
  const Bar& b = bars[bar];
  const double part = std::clamp((tick - b.tick) / b.ticks, 0.0, 1.0);
  const Fraction offset(std::llround(part * b.length.to_double() * static_cast<double>(den)), den);
  return std::min(offset, b.length);
}

Bars lay_out_bars(const TempoMap& map, std::int64_t end, Report& report) {
  Bars result;
  const double whole = 4.0 * map.ticks_per_quarter;
  const double slack = std::max(map.rounding, 0.75);  // a barline may lie between two ticks
  const auto last_tick_of_music = static_cast<double>(end);
  Fraction start;
  double tick = 0.0;
  for (std::size_t i = 0; i < map.meters.size(); ++i) {
    const bool final = i + 1 == map.meters.size() ||
                       static_cast<double>(map.meters[i + 1].tick) >= last_tick_of_music - slack;
    const double until = final ? last_tick_of_music : static_cast<double>(map.meters[i + 1].tick);
    const auto meter = static_cast<std::uint32_t>(result.meters.size());
    result.meters.push_back(map.meters[i].meter);
    const Fraction length = map.meters[i].meter.length();
    const double ticks = length.to_double() * whole;
    const double first_tick = tick;
    for (std::int64_t n = 1; tick < until - slack || (final && result.bars.empty()); ++n) {
      const double next = first_tick + static_cast<double>(n) * ticks;
      if (final || next <= until + slack) {
        add_bar(result, {start, length, tick, next - tick, meter});
        start += length;
        tick = next;
        continue;
      }
      // The next meter comes before this measure is full.
      const double rest = (until - tick) / whole * static_cast<double>(irregular_grid);
      const Fraction shortened =
          std::min(length, Fraction(std::max<std::int64_t>(1, std::llround(rest)), irregular_grid));
      add_bar(result, {start, shortened, tick, until - tick, meter});
      report.add(EntryKind::decision, "midi-meter-inside-measure",
                 "a meter change inside a measure ends the measure there");
      start += shortened;
      tick = until;
    }
    if (final) break;
  }
  return result;
}

}  // namespace fifthpeg::midi::reader
