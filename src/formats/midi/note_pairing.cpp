#include "formats/midi/note_pairing.hpp"

#include <algorithm>
#include <array>
#include <map>

#include "formats/midi/messages.hpp"

namespace fifthpeg::midi {
namespace {

constexpr int keys = 128;

// Controller numbers (MIDI 1.0).
constexpr int data_entry = 6;
constexpr int data_entry_fine = 38;
constexpr int nrpn_fine = 98;
constexpr int nrpn_coarse = 99;
constexpr int rpn_fine = 100;
constexpr int rpn_coarse = 101;

struct KeyState {
  std::int64_t note = -1;  // index of the last note of this key, if it may still change its end
  std::int64_t twin = -1;  // the same, struck at the same tick: a unison
  int struck = 0;          // note-ons that no note-off has answered
};

struct Channel {
  PlayedPart part;
  std::array<KeyState, keys> by_key;
  int rpn = 0x3FFF;            // none chosen
  int bend_range_cents = 200;  // two half steps unless chosen otherwise (General MIDI)
  bool bend_range_stated = false;
  unsigned faults_seen = 0;  // a bit for each kind of which one is enough
};

class TrackPairing {
 public:
  TrackPairing(std::size_t track, PairedNotes& result, Report& report)
      : track_(track), result_(result), report_(report) {}

  void take(const ChannelMessage& message) {
    Channel& channel = at(message.channel());
    switch (message.kind()) {
      case 0x80:
        release(channel, message);
        break;
      case 0x90:
        if (message.second == 0) {
          release(channel, message);
        } else {
          strike(channel, message);
        }
        break;
      case 0xA0:
      case 0xD0:
        report_.add(EntryKind::loss, "midi-aftertouch", "aftertouch was ignored");
        break;
      case 0xB0:
        control(channel, message);
        break;
      case 0xC0:
        choose_program(channel, message.first);
        break;
      case 0xE0:
        bend(channel, message);
        break;
      default:
        break;
    }
  }

  // `end` is where the track ends.
  void finish(std::int64_t end) {
    for (auto& [number, channel] : channels_) {
      auto& notes = channel.part.notes;
      for (const KeyState& key : channel.by_key) {
        if (key.struck > 0) end_note(channel, key, end);
      }
      if (notes.empty()) continue;
      for (const PlayedNote& note : notes) {
        if (note.off == note.on) {
          report_.add(EntryKind::repair, "midi-zero-length-note",
                      "a note of no length was given the shortest length of the grid");
        }
      }
      result_.parts.push_back(std::move(channel.part));
    }
  }

  const std::map<int, Channel>& channels() const { return channels_; }

 private:
  Channel& at(int number) {
    const auto [channel, is_new] = channels_.try_emplace(number);
    if (is_new) {
      channel->second.part.track = track_;
      channel->second.part.channel = number;
    }
    return channel->second;
  }

  static PlayedNote& last_note(Channel& channel, const KeyState& key) {
    return channel.part.notes[static_cast<std::size_t>(key.note)];
  }

  void fault(PairingFault::Kind kind, const Channel& channel, int key, std::int64_t tick) {
    result_.faults.push_back({kind, track_, channel.part.channel, key, tick});
  }

  void first_fault(PairingFault::Kind kind, Channel& channel, const ChannelMessage& message) {
    const unsigned bit = 1U << static_cast<unsigned>(kind);
    if ((channel.faults_seen & bit) == 0) fault(kind, channel, message.first, message.tick);
    channel.faults_seen |= bit;
  }

  void strike(Channel& channel, const ChannelMessage& message) {
    KeyState& key = channel.by_key.at(message.first);
    auto& notes = channel.part.notes;
    std::int64_t twin = -1;
    if (key.note >= 0) {
      const PlayedNote& earlier = last_note(channel, key);
      const bool together = earlier.on == message.tick;
      if (key.struck > 0 && !together) first_fault(PairingFault::Kind::struck_again, channel, message);
      if (earlier.off < 0 && together && key.twin < 0) {
        twin = key.note;
      } else if (earlier.off < 0) {
        end_notes(channel, key, message.tick);
        report_.add(EntryKind::repair, "midi-overlapping-note",
                    "a key struck again while it sounds ends the earlier note");
      }
    }
    key.twin = twin;
    key.note = static_cast<std::int64_t>(notes.size());
    ++key.struck;
    notes.push_back(
        {message.tick, -1, message.first, message.second, static_cast<std::uint8_t>(message.channel())});
  }

  void release(Channel& channel, const ChannelMessage& message) {
    KeyState& key = channel.by_key.at(message.first);
    if (key.struck == 0) {
      first_fault(PairingFault::Kind::note_off_alone, channel, message);
      report_.add(EntryKind::repair, "midi-note-off-without-note", "a note-off without a note was ignored");
      return;
    }
    key.struck -= 1;
    end_notes(channel, key, message.tick);
  }

  void end_note(Channel& channel, const KeyState& key, std::int64_t end) {
    const PlayedNote& note = last_note(channel, key);
    fault(PairingFault::Kind::never_let_go, channel, note.key, note.on);
    if (note.off >= 0) return;
    end_notes(channel, key, end);
    report_.add(EntryKind::repair, "midi-hanging-note",
                "a note without a note-off lasts to the end of its track");
  }

  void bend(Channel& channel, const ChannelMessage& message) {
    const int value = (message.second << 7 | message.first) - 8192;
    if (value != 0 && !channel.bend_range_stated)
      first_fault(PairingFault::Kind::bend_without_range, channel, message);
    channel.part.bends.push_back({message.tick,
                                  static_cast<std::int16_t>(value * channel.bend_range_cents / 8192),
                                  static_cast<std::uint8_t>(message.channel())});
  }

  static void end_notes(Channel& channel, const KeyState& key, std::int64_t tick) {
    last_note(channel, key).off = tick;
    if (key.twin >= 0) channel.part.notes[static_cast<std::size_t>(key.twin)].off = tick;
  }

  void control(Channel& channel, const ChannelMessage& message) {
    switch (message.first) {
      case rpn_coarse:
        channel.rpn = (channel.rpn & 0x7F) | message.second << 7;
        return;
      case rpn_fine:
        channel.rpn = (channel.rpn & 0x3F80) | message.second;
        return;
      case nrpn_fine:
      case nrpn_coarse:
        channel.rpn = 0x3FFF;
        break;
      case data_entry:
        if (channel.rpn == 0) {
          channel.bend_range_stated = true;
          channel.bend_range_cents = message.second * 100 + channel.bend_range_cents % 100;
          return;
        }
        break;
      case data_entry_fine:
        if (channel.rpn == 0) {
          channel.bend_range_cents = channel.bend_range_cents / 100 * 100 + std::min<int>(message.second, 99);
          return;
        }
        break;
      default:
        break;
    }
    report_.add(EntryKind::loss, "midi-controller",
                "controllers (volume, pan, pedal and the like) were ignored");
  }

  void choose_program(Channel& channel, int program) {
    if (channel.part.program < 0 || channel.part.notes.empty()) {
      channel.part.program = program;
    } else if (channel.part.program != program) {
      report_.add(EntryKind::loss, "midi-program-change", "a change of instrument inside a part was ignored");
    }
  }

  std::size_t track_;
  PairedNotes& result_;
  Report& report_;
  std::map<int, Channel> channels_;  // those with messages
};

}  // namespace

PairedNotes pair_notes(const Scan& scan, Report& report) {
  PairedNotes result;
  // A program chosen on one track holds for its channel on the others, unless they choose their own.
  std::map<int, int> programs;
  for (std::size_t i = 0; i < scan.tracks.size(); ++i) {
    TrackPairing track(i, result, report);
    for_each_message(scan.tracks[i], [&track](const ChannelMessage& message) { track.take(message); });
    for (const auto& [number, channel] : track.channels()) {
      if (channel.part.program >= 0) programs.emplace(number, channel.part.program);
    }
    track.finish(scan.tracks[i].end);
  }
  for (PlayedPart& part : result.parts) {
    const auto elsewhere = programs.find(part.channel);
    if (part.program < 0 && elsewhere != programs.end()) part.program = elsewhere->second;
  }
  return result;
}

}  // namespace fifthpeg::midi
