// The measures of a file, in ticks and in notated time, before anything stands in them.
#pragma once

#include <cstdint>
#include <vector>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "formats/midi/reader/tempo_map.hpp"

namespace fifthpeg::midi::reader {

struct Bar {
  Fraction start;           // whole notes from the beginning of the piece
  Fraction length;          // as notated
  double tick = 0.0;        // where it begins; may lie between two ticks
  double ticks = 0.0;       // how long it is
  std::uint32_t meter = 0;  // index into Bars::meters

  Fraction end() const { return start + length; }
  double end_tick() const { return tick + ticks; }
  double tick_at(Fraction offset) const { return tick + ticks * (offset / length).to_double(); }
};

struct Bars {
  std::vector<Meter> meters;
  std::vector<Bar> bars;  // never empty

  const Meter& meter_of(const Bar& bar) const { return meters[bar.meter]; }
  // The bar that holds a tick; the first or last for one outside.
  std::size_t bar_at(double tick) const;
  // Notated time at a tick, to the nearest 1/den of a whole note from the start of its bar.
  Fraction offset_at(std::size_t bar, double tick, std::int64_t den) const;
};

// Lays measures from tick 0 until `end` lies inside or at the end of the last one. A meter change
// inside a measure ends the measure there, reported; such a measure's length is a multiple of 1/64.
// Throws ReadError where there would be more than most_measures.
Bars lay_out_bars(const TempoMap& map, std::int64_t end, Report& report);

}  // namespace fifthpeg::midi::reader
