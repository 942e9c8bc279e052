// The channel messages of a MIDI file as libsmf decodes them: a second opinion, by no code of the project.
#pragma once

#include <algorithm>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "formats/midi/scan.hpp"
#include "libsmf_load.hpp"

namespace smf_by_libsmf {

using fifthpeg::midi::ChannelMessage;

// By track; nothing where libsmf does not take the file. For sound files only: damage may make it abort.
inline std::optional<std::vector<std::vector<ChannelMessage>>> messages(const std::string& file) {
  const auto smf = fifthpeg::testing::libsmf_load(file);
  if (!smf) return std::nullopt;
  std::vector<std::vector<ChannelMessage>> tracks;
  for (int number = 1; number <= smf->number_of_tracks; ++number) {
    const smf_track_t* track = smf_get_track_by_number(smf.get(), number);
    auto& found = tracks.emplace_back();
    for (guint i = 0; i < track->events_array->len; ++i) {
      const auto* event = static_cast<const smf_event_t*>(g_ptr_array_index(track->events_array, i));
      if (event->midi_buffer[0] >= 0xF0) continue;  // meta, system exclusive
      found.push_back({event->time_pulses, event->midi_buffer[0], event->midi_buffer[1],
                       event->midi_buffer_length > 2 ? event->midi_buffer[2] : std::uint8_t{0}});
    }
  }
  return tracks;
}

inline std::string text(const std::vector<ChannelMessage>& messages, std::size_t i) {
  if (i >= messages.size()) return "nothing";
  const ChannelMessage& one = messages[i];
  return std::to_string(one.tick) + ": " + std::to_string(one.status) + " " + std::to_string(one.first) +
         " " + std::to_string(one.second);
}

// Empty where the scan of a sound file has message for message what libsmf has; else what is different first.
inline std::string difference(const std::string& file) {
  const auto theirs = messages(file);
  if (!theirs) return "libsmf does not take the file";
  const auto scan = fifthpeg::midi::scan(file);
  if (!scan.damage.empty()) return "damage: " + scan.damage.front().text;
  // libsmf stops at the number of tracks that the header states.
  const auto stated = static_cast<std::size_t>(static_cast<unsigned char>(file[10]) << 8 |
                                               static_cast<unsigned char>(file[11]));
  if (theirs->size() != std::min(stated, scan.tracks.size())) return "another number of tracks";
  for (std::size_t track = 0; track < theirs->size(); ++track) {
    const auto& ours = scan.tracks[track].messages;
    for (std::size_t i = 0; i < std::max(ours.size(), (*theirs)[track].size()); ++i) {
      const std::string our = text(ours, i);
      const std::string their = text((*theirs)[track], i);
      if (our != their) {
        return "track " + std::to_string(track + 1) + ", message " + std::to_string(i + 1) + ": " + our +
               ", and by libsmf " + their;
      }
    }
  }
  return {};
}

}  // namespace smf_by_libsmf
