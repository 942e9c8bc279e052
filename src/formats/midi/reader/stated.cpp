#include "formats/midi/reader/stated.hpp"

#include <bit>
#include <string>
#include <utility>

namespace fifthpeg::midi::reader {
namespace {

void put_first(Scan& scan, Meta type, std::string data) {
  for (ScannedTrack& track : scan.tracks) {
    std::erase_if(track.metas, [type](const MetaEvent& meta) { return meta.type == type; });
  }
  scan.made.push_back(std::move(data));
  for (ScannedTrack& track : scan.tracks) {
    track.metas.insert(track.metas.begin(), MetaEvent{0, track.byte, type, scan.made.back()});
    if (scan.format != 2) return;
  }
}

}  // namespace

void state_tempo(Scan& scan, std::uint32_t microseconds) {
  std::string data;
  for (const unsigned shift : {16U, 8U, 0U}) data += static_cast<char>(microseconds >> shift & 0xFFU);
  put_first(scan, Meta::tempo, std::move(data));
}

void state_meter(Scan& scan, const Meter& meter) {
  const auto unit = static_cast<unsigned>(meter.unit);
  // Clicks of the metronome and thirty-seconds a quarter note, which nothing here reads: as they usually are.
  put_first(scan, Meta::time_signature,
            {static_cast<char>(meter.beats.front()), static_cast<char>(std::countr_zero(unit)), 24, 8});
}

}  // namespace fifthpeg::midi::reader
