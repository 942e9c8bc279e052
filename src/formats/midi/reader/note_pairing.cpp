#include "formats/midi/reader/note_pairing.hpp"

#include <algorithm>
#include <array>
#include <memory>

namespace fifthpeg::midi::reader {
namespace {

constexpr int channels = 16;
constexpr int keys = 128;

// Controller numbers (MIDI 1.0).
constexpr int data_entry = 6;
constexpr int data_entry_fine = 38;
constexpr int nrpn_fine = 98;
constexpr int nrpn_coarse = 99;
constexpr int rpn_fine = 100;
constexpr int rpn_coarse = 101;

struct Sounding {
  std::int64_t note = -1;  // index of the last note of this key, if it may still change its end
  std::int64_t twin = -1;  // the same, struck at the same tick: a unison
  int struck = 0;          // note-ons that no note-off has answered
};

struct Channel {
  PlayedPart part;
  std::array<Sounding, keys> sounding;
  int rpn = 0x3FFF;            // none chosen
  int bend_range_cents = 200;  // two half steps unless chosen otherwise (General MIDI)
};

class TrackPlayer {
 public:
  TrackPlayer(std::size_t track, std::int64_t end, Report& report)
      : track_(track), end_(end), report_(report) {}

  void play(const ChannelMessage& message) {
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
        report_.add(EntryKind::loss, "midi-aftertouch", "aftertouch was passed over");
        break;
      case 0xB0:
        control(channel, message);
        break;
      case 0xC0:
        choose_program(channel, message.first);
        break;
      case 0xE0: {
        const int value = (message.second << 7 | message.first) - 8192;
        channel.part.bends.push_back({message.tick,
                                      static_cast<std::int16_t>(value * channel.bend_range_cents / 8192),
                                      static_cast<std::uint8_t>(message.channel())});
        break;
      }
      default:
        break;
    }
  }

  void finish(Performance& performance) {
    for (const auto& channel : channels_) {
      if (!channel) continue;
      for (const Sounding& sounding : channel->sounding) {
        if (sounding.note < 0 || sounding.struck == 0) continue;
        PlayedNote& note = channel->part.notes[static_cast<std::size_t>(sounding.note)];
        if (note.off >= 0) continue;
        end_notes(*channel, sounding, end_);
        report_.add(EntryKind::repair, "midi-hanging-note",
                    "a note that is never let go lasts to the end of its track");
      }
      if (channel->part.notes.empty()) continue;
      for (const PlayedNote& note : channel->part.notes) {
        performance.last_off = std::max(performance.last_off, note.off);
        if (note.off == note.on) {
          report_.add(EntryKind::repair, "midi-zero-length-note",
                      "a note of no length was given the shortest length of the grid");
        }
      }
      performance.parts.push_back(std::move(channel->part));
    }
  }

  const std::array<std::unique_ptr<Channel>, channels>& all() const { return channels_; }

 private:
  Channel& at(int number) {
    auto& channel = channels_.at(static_cast<std::size_t>(number));
    if (!channel) {
      channel = std::make_unique<Channel>();
      channel->part.track = track_;
      channel->part.channel = number;
    }
    return *channel;
  }

  void strike(Channel& channel, const ChannelMessage& message) {
    Sounding& sounding = channel.sounding.at(message.first);
    auto& notes = channel.part.notes;
    if (sounding.note >= 0) {
      const PlayedNote& earlier = notes[static_cast<std::size_t>(sounding.note)];
      const bool unison = earlier.off < 0 && earlier.on == message.tick && sounding.twin < 0;
      if (!unison && earlier.off < 0) {
        end_notes(channel, sounding, message.tick);
        report_.add(EntryKind::repair, "midi-overlapping-note",
                    "a key struck again while it sounds ends the earlier note");
      }
    }
    const bool starts_unison = sounding.note >= 0 && notes[static_cast<std::size_t>(sounding.note)].off < 0;
    sounding.twin = starts_unison ? sounding.note : -1;
    sounding.note = static_cast<std::int64_t>(notes.size());
    ++sounding.struck;
    notes.push_back(
        {message.tick, -1, message.first, message.second, static_cast<std::uint8_t>(message.channel())});
  }

  void release(Channel& channel, const ChannelMessage& message) {
    Sounding& sounding = channel.sounding.at(message.first);
    if (sounding.struck == 0) {
      report_.add(EntryKind::repair, "midi-note-off-without-note",
                  "a note-off without a note was passed over");
      return;
    }
    --sounding.struck;
    end_notes(channel, sounding, message.tick);
  }

  static void end_notes(Channel& channel, const Sounding& sounding, std::int64_t tick) {
    channel.part.notes[static_cast<std::size_t>(sounding.note)].off = tick;
    if (sounding.twin >= 0) channel.part.notes[static_cast<std::size_t>(sounding.twin)].off = tick;
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
                "controllers (volume, pan, pedal and the like) were passed over");
  }

  void choose_program(Channel& channel, int program) {
    if (channel.part.program < 0 || channel.part.notes.empty()) {
      channel.part.program = program;
    } else if (channel.part.program != program) {
      report_.add(EntryKind::loss, "midi-program-change",
                  "a change of instrument inside of a part was passed over");
    }
  }

  std::size_t track_;
  std::int64_t end_;
  Report& report_;
  std::array<std::unique_ptr<Channel>, channels> channels_;
};

}  // namespace

Performance perform(const Scan& scan, Report& report) {
  Performance performance;
  // A program chosen on one track holds for its channel on the others, unless they choose their own.
  std::array<int, channels> programs{};
  programs.fill(-1);
  for (std::size_t i = 0; i < scan.tracks.size(); ++i) {
    TrackPlayer player(i, scan.tracks[i].end, report);
    for (const ChannelMessage& message : scan.tracks[i].messages) player.play(message);
    for (std::size_t number = 0; number < programs.size(); ++number) {
      const auto& channel = player.all()[number];
      if (channel && programs[number] < 0) programs[number] = channel->part.program;
    }
    player.finish(performance);
  }
  for (PlayedPart& part : performance.parts) {
    if (part.program < 0) part.program = programs.at(static_cast<std::size_t>(part.channel));
  }
  return performance;
}

}  // namespace fifthpeg::midi::reader
