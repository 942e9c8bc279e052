// The track of the metronome.
#include <algorithm>

#include "formats/midi/conventions.hpp"
#include "formats/midi/track_bytes.hpp"
#include "formats/midi/writer/tracks.hpp"

namespace fifthpeg::midi::writer {
namespace {

// Of percussion in General MIDI 1: high and low wood block.
constexpr unsigned accented_key = 76;
constexpr unsigned click_key = 77;
constexpr unsigned accented_velocity = 112;
constexpr unsigned click_velocity = 80;
const Fraction click_length{1, 32};

}  // namespace

std::string click_track(const performance::Clock& clock, const Performance& performance,
                        const std::vector<Click>& clicks) {
  TrackBytes track;
  track.meta(0, Meta::track_name, "Click");
  const std::vector<HeardClick> all = heard(clicks, performance);
  for (std::size_t i = 0; i < all.size(); ++i) {
    const std::int64_t start = all[i].start;
    std::int64_t end = start + std::max<std::int64_t>(1, clock.ticks(click_length));
    if (i + 1 < all.size()) end = std::min(end, std::max(start, all[i + 1].start));
    const unsigned key = all[i].accent ? accented_key : click_key;
    track.channel(start, 0x90U | percussion_channel, key, all[i].accent ? accented_velocity : click_velocity);
    track.channel(end, 0x80U | percussion_channel, key, 0);
  }
  return track.finish(clock.end());
}

}  // namespace fifthpeg::midi::writer
