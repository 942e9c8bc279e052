// Tempo, meter and key over the ticks of a file, and the one timeline that all its tracks are put on.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "formats/midi/scan.hpp"

namespace fifthpeg::midi::reader {

struct TempoPoint {
  std::int64_t tick = 0;
  std::uint32_t microseconds = 500'000;  // a quarter note
};
struct MeterPoint {
  std::int64_t tick = 0;
  Meter meter;
};
struct KeyPoint {
  std::int64_t tick = 0;
  Key key;
};

struct TempoMap {
  int ticks_per_quarter = 480;
  // How far a tick may lie from where it belongs, because the file's clock is too coarse for the place.
  double rounding = 0.0;
  std::vector<TempoPoint> tempos;  // by tick; never empty, the first at 0
  std::vector<MeterPoint> meters;  // by tick; never empty, the first at 0
  std::vector<KeyPoint> keys;      // by tick; empty where the file states no key
  bool tempo_stated = false;

  double seconds_per_tick_at(std::int64_t tick) const;
};

// Puts the scan on one timeline of quarter notes, in place, and gives its map:
//   format 2: the patterns are played one after another, each from a new measure on;
//   time code divisions: ticks are real time, and become ticks of quarter notes by the tempo that the file
//   states, or at 120 a minute.
// The track's own ticks are moved by Timeline::at().
class Timeline {
 public:
  Timeline(const Scan& scan, Report& report);

  const TempoMap& map() const { return map_; }
  // The tick on the timeline of a tick of a track.
  std::int64_t at(std::size_t track, std::int64_t tick) const;

 private:
  void lay_out_patterns(const Scan& scan);
  void choose_clock(const Scan& scan);
  void collect(const Scan& scan, Report& report);

  TempoMap map_;
  std::vector<std::int64_t> pattern_starts_;  // of format 2, by track
  double scale_ = 1.0;                        // from ticks of the file; 1 unless it counts real time
};

// 60,000,000 / microseconds; the whole number or two decimals of which the microseconds are the rounded
// form, if there are such.
Fraction quarters_per_minute(std::uint32_t microseconds);

}  // namespace fifthpeg::midi::reader
