#include "read/smf/pickup.hpp"

#include <algorithm>
#include <optional>

#include "fifthpeg/errors.hpp"

namespace fifthpeg::smf_read {
namespace {

constexpr int note_on = 0x90;
constexpr std::uint8_t time_signature = 0x58;

std::optional<std::int64_t> first_note(const Scan& scan) {
  std::optional<std::int64_t> first;
  for (const ScannedTrack& track : scan.tracks) {
    const auto found = std::find_if(track.messages.begin(), track.messages.end(), [](const auto& message) {
      return message.kind() == note_on && message.second > 0;
    });
    if (found != track.messages.end() && (!first || found->tick < *first)) first = found->tick;
  }
  return first;
}

// The first time signature's, or four quarters where there is none (RP-001).
Fraction first_measure(const Scan& scan) {
  const MetaEvent* first = nullptr;
  for (const ScannedTrack& track : scan.tracks) {
    for (const MetaEvent& meta : track.metas) {
      if (meta.type != time_signature || meta.data.size() < 2) continue;
      if (first == nullptr || meta.tick < first->tick) first = &meta;
      break;
    }
  }
  if (first == nullptr) return 1;
  const auto beats = static_cast<unsigned char>(first->data[0]);
  const auto power = static_cast<unsigned char>(first->data[1]);
  return beats == 0 || power > 7 ? Fraction(1) : Fraction(beats, std::int64_t{1} << power);
}

}  // namespace

void set_pickup(Scan& scan, Fraction pickup) {
  const int quarter = scan.division.ticks_per_quarter;
  if (quarter == 0 || scan.format == 2) {
    throw UsageError("--pickup is for files of one piece whose ticks are parts of a quarter note");
  }
  const Fraction measure = first_measure(scan);
  if (pickup < 0 || pickup >= measure) {
    throw UsageError("a pickup of " + to_string(pickup) + " does not fit into a first measure of " +
                     to_string(measure));
  }
  const std::optional<std::int64_t> first = first_note(scan);
  if (!first) return;
  const Fraction target = pickup == 0 ? Fraction(0) : (measure - pickup) * 4 * quarter;
  const std::int64_t by = target.floor() - *first;
  const auto moved = [by](std::int64_t tick) { return std::clamp<std::int64_t>(tick + by, 0, last_tick); };
  for (ScannedTrack& track : scan.tracks) {
    for (MetaEvent& meta : track.metas) meta.tick = moved(meta.tick);
    for (ChannelMessage& message : track.messages) {
      message.tick = static_cast<std::int32_t>(moved(message.tick));
    }
    track.end = moved(track.end);
  }
}

}  // namespace fifthpeg::smf_read
