#include "formats/midi/reader/pickup.hpp"

#include <algorithm>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "fifthpeg/errors.hpp"
#include "formats/midi/reader/tempo_map.hpp"

namespace fifthpeg::midi::reader {
namespace {

// Of a whole note. What lies nearer to a beat than this was meant to be on it, and a tempo, meter or key
// that comes after the first note by no more belongs to it.
const Fraction near(1, 32);
constexpr std::int64_t beats_listened_to = 16;  // after the first note; tempo may drift later on
constexpr std::size_t fewest_on_beats = 4;      // fewer say nothing about where the beats are

std::optional<std::int64_t> first_note(const std::vector<PlayedPart>& parts) {
  std::optional<std::int64_t> first;
  for (const PlayedPart& part : parts) first = std::min(first.value_or(INT64_MAX), part.notes.front().on);
  return first;
}

// The last event up to a tick, that tick included, that says something; null where none does.
template <typename Value>
const MetaEvent* in_force(const Scan& scan, std::int64_t tick,
                          std::optional<Value> (*value_in)(const MetaEvent&)) {
  const MetaEvent* result = nullptr;
  for (const ScannedTrack& track : scan.tracks) {
    for (const MetaEvent& meta : track.metas) {
      if (meta.tick > tick || (result != nullptr && meta.tick < result->tick)) continue;
      if (value_in(meta)) result = &meta;
    }
  }
  return result;
}

// Lets the event that is in force at a tick hold from the beginning on, and takes out those that it follows.
template <typename Value>
void hold_from_beginning(Scan& scan, std::int64_t tick, std::optional<Value> (*value_in)(const MetaEvent&)) {
  const MetaEvent* const found = in_force(scan, tick, value_in);
  if (found == nullptr) return;
  MetaEvent held = *found;
  held.tick = 0;
  for (ScannedTrack& track : scan.tracks) {
    std::erase_if(track.metas, [&](const MetaEvent& meta) { return meta.tick <= tick && value_in(meta); });
  }
  auto& metas = scan.tracks.front().metas;
  metas.insert(metas.begin(), held);
}

// How much later than the beats the notes near them are played, as a rule: the median in ticks. `by` is what
// moves the first note to its place exactly.
std::int64_t usual_lateness(const std::vector<PlayedPart>& parts, std::int64_t beat, std::int64_t first,
                            std::int64_t by) {
  const std::int64_t reach = (near * 4 * beat).floor();
  std::vector<std::int64_t> lateness;
  for (const PlayedPart& part : parts) {
    for (const PlayedNote& note : part.notes) {
      if (note.on > first + beats_listened_to * beat) break;
      const std::int64_t past = (note.on + by) % beat;
      const std::int64_t late = past * 2 > beat ? past - beat : past;
      if (late > -reach && late < reach) lateness.push_back(late);
    }
  }
  if (lateness.size() < fewest_on_beats) return 0;
  const auto middle = lateness.begin() + static_cast<std::ptrdiff_t>(lateness.size() / 2);
  std::nth_element(lateness.begin(), middle, lateness.end());
  return *middle;
}

}  // namespace

void set_pickup(Scan& scan, std::vector<PlayedPart>& parts, Fraction pickup) {
  const int quarter = scan.division.ticks_per_quarter;
  if (quarter == 0 || scan.format == 2) {
    throw UsageError(
        "pickup-not-possible",
        "a pickup can be asked for only in files of one piece whose ticks are parts of a quarter note");
  }
  const std::optional<std::int64_t> first = first_note(parts);
  if (!first) return;
  const std::int64_t slack = (near * 4 * quarter).floor();
  const std::int64_t first_full = *first + (pickup * 4 * quarter).floor();
  const MetaEvent* const stated = in_force(scan, first_full + slack, meter_in);
  const Meter meter = stated != nullptr ? *meter_in(*stated) : Meter{};
  if (pickup < 0 || pickup >= meter.length()) {
    throw UsageError("a pickup of " + to_string(pickup) +
                     " (in whole notes) does not fit into a first measure of " + to_string(meter) +
                     "; give less than the measure, such as 1/8, or 0 for none");
  }
  const Fraction target = pickup == 0 ? Fraction(0) : (meter.length() - pickup) * 4 * quarter;
  std::int64_t by = target.floor() - *first;
  by -= usual_lateness(parts, quarter, *first, by);

  hold_from_beginning(scan, first_full + slack, meter_in);
  hold_from_beginning(scan, *first + slack, tempo_in);
  hold_from_beginning(scan, *first + slack, key_in);
  const auto moved = [by](std::int64_t tick) { return std::clamp<std::int64_t>(tick + by, 0, last_tick); };
  for (ScannedTrack& track : scan.tracks) {
    for (MetaEvent& meta : track.metas) {
      const bool holds = meta.tick == 0 && (tempo_in(meta) || meter_in(meta) || key_in(meta));
      if (!holds) meta.tick = moved(meta.tick);
    }
    track.end = moved(track.end);
  }
  for (PlayedPart& part : parts) {
    for (PlayedNote& note : part.notes) {
      note.on = moved(note.on);
      note.off = moved(note.off);
    }
    for (BendPoint& bend : part.bends) bend.tick = moved(bend.tick);
  }
}

}  // namespace fifthpeg::midi::reader
