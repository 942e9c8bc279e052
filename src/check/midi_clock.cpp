#include "check/midi_clock.hpp"

#include <algorithm>
#include <string>

namespace fifthpeg::check {

MidiClock::MidiClock(const smf_read::Scan& scan) {
  constexpr int independent = 2;  // the format whose tracks are pieces by themselves
  if (scan.format == independent || scan.division.ticks_per_quarter <= 0) return;
  ticks_a_whole_ = std::int64_t{4} * scan.division.ticks_per_quarter;
  std::vector<const smf_read::MetaEvent*> changes;
  for (const smf_read::ScannedTrack& track : scan.tracks) {
    for (const smf_read::MetaEvent& meta : track.metas) {
      const auto byte = [&meta](std::size_t i) { return static_cast<unsigned char>(meta.data[i]); };
      constexpr int finest = 7;  // as the rule midi-meter has it
      if (meta.type == 0x58 && meta.data.size() == 4 && byte(0) > 0 && byte(1) <= finest)
        changes.push_back(&meta);
    }
  }
  std::stable_sort(changes.begin(), changes.end(),
                   [](const auto* a, const auto* b) { return a->tick < b->tick; });
  stretches_.emplace_back();
  for (const smf_read::MetaEvent* change : changes) {
    Stretch next;
    next.tick = change->tick;
    next.meter.beats = {static_cast<unsigned char>(change->data[0])};
    next.meter.unit = 1 << static_cast<unsigned char>(change->data[1]);
    const Stretch& last = stretches_.back();
    // A change in the middle of a measure ends it.
    const Fraction passed = Fraction(next.tick - last.tick, ticks_a_whole_) / last.meter.length();
    next.measure = last.measure + passed.floor() + (passed.is_whole() ? 0 : 1);
    if (next.tick == last.tick) stretches_.pop_back();
    stretches_.push_back(next);
  }
}

Place MidiClock::at(std::int64_t tick) const {
  Place place;
  if (stretches_.empty()) return place;
  const auto after =
      std::upper_bound(stretches_.begin(), stretches_.end(), tick,
                       [](std::int64_t value, const Stretch& one) { return value < one.tick; });
  const Stretch& stretch = *(after - 1);
  const Fraction passed(tick - stretch.tick, ticks_a_whole_);
  const Fraction length = stretch.meter.length();
  const std::int64_t measures = (passed / length).floor();
  place.measure = std::to_string(stretch.measure + measures);
  place.beat = beat_at(stretch.meter, passed - length * measures);
  return place;
}

}  // namespace fifthpeg::check
