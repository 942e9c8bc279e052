// MIDI bytes: what the scan of the reader found, and notes and bends that do not come out even.
#include <algorithm>
#include <array>
#include <memory>
#include <string>

#include "check/families.hpp"
#include "check/midi_clock.hpp"
#include "formats/midi/scan.hpp"

namespace fifthpeg::check {
namespace {

constexpr int keys = 128;
constexpr int channels = 16;

Place at_byte(std::size_t byte) {
  Place place;
  place.byte = static_cast<std::int64_t>(byte);
  return place;
}

// The scan's slugs that are rules under another name; the others are rules as they are, or no faults.
std::string_view rule_for(std::string_view slug) {
  if (slug == "midi-too-many-tracks" || slug == "midi-too-long") return "midi-cut-off";
  if (slug == "midi-riff-without-data" || slug == "midi-riff-length") return "midi-cut-off";
  return slug;
}

void meta_rules(const midi::MetaEvent& meta, Findings& findings) {
  const auto byte_of = [&meta](std::size_t i) { return static_cast<unsigned char>(meta.data[i]); };
  if (meta.type == 0x51) {
    if (meta.data.size() != 3) {
      findings.add("midi-tempo", at_byte(meta.byte),
                   "a tempo event of " + std::to_string(meta.data.size()) + " bytes instead of 3");
      return;
    }
    const int microseconds = byte_of(0) << 16 | byte_of(1) << 8 | byte_of(2);
    constexpr int slowest = 6'000'000;  // 10 quarter notes a minute
    constexpr int fastest = 120'000;    // 500
    if (microseconds >= fastest && microseconds <= slowest) return;
    findings.add("midi-tempo", at_byte(meta.byte),
                 microseconds == 0 ? "a quarter note of no time"
                                   : "a quarter note of " + std::to_string(microseconds) + " microseconds, " +
                                         std::to_string(60'000'000 / microseconds) + " a minute");
  } else if (meta.type == 0x58) {
    constexpr unsigned finest = 7;
    if (meta.data.size() == 4 && byte_of(0) > 0 && byte_of(1) <= finest) return;
    findings.add(
        "midi-meter", at_byte(meta.byte),
        meta.data.size() != 4
            ? "a time signature of " + std::to_string(meta.data.size()) + " bytes instead of 4"
            : "a meter of " + std::to_string(byte_of(0)) + " beats of 1/2^" + std::to_string(byte_of(1)));
  }
}

struct Sounding {
  int count = 0;
  std::int64_t on = 0;
};

// What one track does with the keys of its channels.
class TrackNotes {
 public:
  TrackNotes(std::size_t track, const MidiClock& clock, Findings& findings)
      : label_("track " + std::to_string(track + 1) + ", channel "), clock_(clock), findings_(findings) {}

  void take(const midi::ChannelMessage& message) {
    Channel& channel = at(message.channel());
    const int kind = message.kind();
    if (kind == 0x90 && message.second > 0) {
      strike(channel, message);
    } else if (kind == 0x80 || kind == 0x90) {
      release(channel, message);
    } else if (kind == 0xE0) {
      const int value = (message.second << 7 | message.first) - 8192;
      if (value != 0 && !channel.range && !channel.bend_told) {
        channel.bend_told = true;
        findings_.add("midi-bend-without-range", clock_.at(message.tick),
                      words(message.channel()) + "is bent at tick " + std::to_string(message.tick) +
                          " without a bend range");
      }
    } else if (kind == 0xB0) {
      if (message.first == 101) channel.rpn_coarse = message.second;
      if (message.first == 100) channel.rpn_fine = message.second;
      if (message.first == 6 && channel.rpn_coarse == 0 && channel.rpn_fine == 0) channel.range = true;
    }
  }

  // `whole` is false where the track broke off, so that what sounds may well have ended.
  void finish(bool whole) {
    if (!whole) return;
    for (std::size_t number = 0; number < channels_.size(); ++number) {
      if (!channels_.at(number)) continue;
      for (std::size_t key = 0; key < keys; ++key) {
        const Sounding& sounding = channels_.at(number)->sounding.at(key);
        if (sounding.count == 0) continue;
        findings_.add("midi-hanging-note", clock_.at(sounding.on),
                      words(static_cast<int>(number)) + words_of_key(static_cast<int>(key)) +
                          ", struck at tick " + std::to_string(sounding.on) + ", is never let go");
      }
    }
  }

 private:
  struct Channel {
    std::array<Sounding, keys> sounding{};
    int rpn_coarse = 127;
    int rpn_fine = 127;
    bool range = false;
    bool bend_told = false;
    bool overlap_told = false;
    bool stray_told = false;
  };

  Channel& at(int number) {
    auto& channel = channels_.at(static_cast<std::size_t>(number));
    if (!channel) channel = std::make_unique<Channel>();
    return *channel;
  }

  // "track 2, channel 1: ".
  std::string words(int channel) const { return label_ + std::to_string(channel + 1) + ": "; }
  static std::string words_of_key(int key) {
    return words_of_pitch(key) + " (key " + std::to_string(key) + ")";
  }

  void strike(Channel& channel, const midi::ChannelMessage& message) {
    Sounding& sounding = channel.sounding.at(message.first);
    // At one tick it is a unison of two strings.
    if (sounding.count > 0 && sounding.on != message.tick && !channel.overlap_told) {
      channel.overlap_told = true;
      findings_.add("midi-overlapping-note", clock_.at(message.tick),
                    words(message.channel()) + words_of_key(message.first) + " is struck again at tick " +
                        std::to_string(message.tick) + " while it sounds");
    }
    ++sounding.count;
    sounding.on = message.tick;
  }

  void release(Channel& channel, const midi::ChannelMessage& message) {
    Sounding& sounding = channel.sounding.at(message.first);
    if (sounding.count > 0) {
      --sounding.count;
      return;
    }
    if (channel.stray_told) return;
    channel.stray_told = true;
    findings_.add("midi-stray-note-off", clock_.at(message.tick),
                  words(message.channel()) + words_of_key(message.first) + " is let go at tick " +
                      std::to_string(message.tick) + " and does not sound");
  }

  std::string label_;
  const MidiClock& clock_;
  Findings& findings_;
  std::array<std::unique_ptr<Channel>, channels> channels_;
};

}  // namespace

void midi_byte_rules(const midi::Scan& scan, Findings& findings) {
  for (const midi::Damage& damage : scan.damage) {
    findings.add(rule_for(damage.slug), at_byte(damage.byte), damage.text);
  }
  // Tracks that are missing behind a cut are no fault of their own.
  const bool cut = std::any_of(scan.damage.begin(), scan.damage.end(),
                               [](const auto& damage) { return rule_for(damage.slug) == "midi-cut-off"; });
  for (const Entry& told : scan.report.entries()) {
    if (cut && told.slug == "midi-track-count") continue;
    if (find_rule(rule_for(told.slug)) == nullptr || told.kind != EntryKind::repair) continue;
    for (const Place& place : told.places) findings.add(rule_for(told.slug), place, told.text);
  }
  const MidiClock clock(scan);
  for (std::size_t i = 0; i < scan.tracks.size(); ++i) {
    const midi::ScannedTrack& track = scan.tracks[i];
    for (const midi::MetaEvent& meta : track.metas) meta_rules(meta, findings);
    TrackNotes notes(i, clock, findings);
    for (const midi::ChannelMessage& message : track.messages) notes.take(message);
    const std::size_t end = i + 1 < scan.tracks.size() ? scan.tracks[i + 1].byte : std::string_view::npos;
    bool whole = true;
    for (const midi::Damage& damage : scan.damage) {
      if (damage.byte >= track.byte && damage.byte <= end) whole = false;
    }
    notes.finish(whole);
  }
}

}  // namespace fifthpeg::check
