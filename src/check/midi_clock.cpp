#include "check/midi_clock.hpp"

#include <algorithm>
#include <string>

namespace fifthpeg::check {

MidiClock::MidiClock(const midi::Scan& scan) {
  constexpr int independent = 2;  // the format whose tracks are pieces by themselves
  if (scan.format == independent || scan.division.ticks_per_quarter <= 0) return;
  ticks_a_whole_ = std::int64_t{4} * scan.division.ticks_per_quarter;
  std::vector<const midi::MetaEvent*> changes;
  for (const midi::ScannedTrack& track : scan.tracks) {
    for (const midi::MetaEvent& meta : track.metas) {
      const auto byte = [&meta](std::size_t i) { return static_cast<unsigned char>(meta.data[i]); };
      constexpr int finest = 7;  // as the rule midi-meter has it
      if (meta.type == 0x58 && meta.data.size() == 4 && byte(0) > 0 && byte(1) <= finest)
        changes.push_back(&meta);
    }
  }
  std::stable_sort(changes.begin(), changes.end(),
                   [](const auto* a, const auto* b) { return a->tick < b->tick; });
  stretches_.emplace_back();
  for (const midi::MetaEvent* change : changes) {
    Stretch next;
    next.tick = change->tick;
    next.meter.beats = {static_cast<unsigned char>(change->data[0])};
    next.meter.unit = 1 << static_cast<unsigned char>(change->data[1]);
    const Stretch& last = stretches_.back();
    // A change in the middle of a measure ends it.
    const Passed passed = since(last, next.tick);
    next.measure = last.measure + passed.measures + (passed.rest == 0 ? 0 : 1);
    if (next.tick == last.tick) stretches_.pop_back();
    stretches_.push_back(next);
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
