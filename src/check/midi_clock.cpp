#include "check/midi_clock.hpp"

#include <algorithm>
#include <string>

namespace fifthpeg::check {

MidiClock::MidiClock(const midi::Scan& scan) {
  constexpr int independent = 2;  // the format whose tracks are pieces by themselves
  if (scan.format == independent) return;
  ticks_a_whole_ = std::int64_t{4} * scan.division.ticks_per_quarter;
  for (const midi::ScannedTrack& track : scan.tracks) {
    for (const midi::MetaEvent& meta : track.metas) {
      if (const auto meter = midi::meter_in(meta)) meters_.emplace_back(meta.tick, *meter);
    }
  }
  std::stable_sort(meters_.begin(), meters_.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
}

Place MidiClock::at(std::int64_t tick) const {
  Place place;
  if (ticks_a_whole_ == 0) return place;
  std::int64_t measure = 1;
  std::int64_t from = 0;
  Meter meter;
  const auto measures_until = [&](std::int64_t to) {
    return Fraction(to - from, ticks_a_whole_) / meter.length();
  };
  for (const auto& [change, next] : meters_) {
    if (change > tick) break;
    measure -= (-measures_until(change)).floor();  // a change in the middle of a measure ends it
    from = change;
    meter = next;
  }
  const Fraction passed = measures_until(tick);
  place.measure = std::to_string(measure + passed.floor());
  place.beat = beat_at(meter, (passed - passed.floor()) * meter.length());
  return place;
}

}  // namespace fifthpeg::check
