#include "check/midi_clock.hpp"

#include <algorithm>
#include <string>
#include <utility>

namespace fifthpeg::check {

MidiClock::MidiClock(const midi::Scan& scan) {
  constexpr int independent = 2;  // the format whose tracks are pieces by themselves
  if (scan.format == independent || scan.division.ticks_per_quarter <= 0) return;
  ticks_a_whole_ = std::int64_t{4} * scan.division.ticks_per_quarter;
  std::vector<Stretch> changes;
  for (const midi::ScannedTrack& track : scan.tracks) {
    for (const midi::MetaEvent& meta : track.metas) {
      if (auto meter = midi::meter_in(meta)) changes.push_back({meta.tick, 1, std::move(*meter)});
    }
  }
  std::stable_sort(changes.begin(), changes.end(),
                   [](const Stretch& a, const Stretch& b) { return a.tick < b.tick; });
  stretches_.emplace_back();
  for (Stretch& next : changes) {
    const Stretch& last = stretches_.back();
    // A change in the middle of a measure ends it.
    const Passed passed = since(last, next.tick);
    next.measure = last.measure + passed.measures + (passed.rest == 0 ? 0 : 1);
    if (next.tick == last.tick) stretches_.pop_back();
    stretches_.push_back(std::move(next));
  }
}

// A tick counts as many parts as the meter's unit says, so that a measure is a whole number of
// them.
MidiClock::Passed MidiClock::since(const Stretch& stretch, std::int64_t tick) const {
  const std::int64_t measure = ticks_a_whole_ * stretch.meter.beats.front();
  const std::int64_t parts = (tick - stretch.tick) * stretch.meter.unit;
  return {parts / measure, parts % measure};
}

Place MidiClock::at(std::int64_t tick) const {
  Place place;
  if (stretches_.empty()) return place;
  const auto after =
      std::upper_bound(stretches_.begin(), stretches_.end(), tick,
                       [](std::int64_t value, const Stretch& one) { return value < one.tick; });
  const Stretch& stretch = *(after - 1);
  const Passed passed = since(stretch, tick);
  place.measure = std::to_string(stretch.measure + passed.measures);
  place.beat = beat_at(stretch.meter, Fraction(passed.rest, ticks_a_whole_ * stretch.meter.unit));
  return place;
}

}  // namespace fifthpeg::check
