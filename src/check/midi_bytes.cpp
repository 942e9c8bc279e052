// MIDI bytes: what the scan of the reader found, and notes and bends that do not come out even.
#include <algorithm>
#include <string>

#include "check/families.hpp"
#include "check/midi_clock.hpp"
#include "formats/midi/note_pairing.hpp"
#include "formats/midi/scan.hpp"

namespace fifthpeg::check {
namespace {

// The scan's slugs that are rules under another name; the others are rules as they are, or no faults.
std::string_view rule_for(std::string_view slug) {
  if (slug == "midi-too-many-tracks" || slug == "midi-too-long") return "midi-cut-off";
  if (slug == "midi-riff-without-data" || slug == "midi-riff-length") return "midi-cut-off";
  return slug;
}

void meta_rules(const midi::MetaEvent& meta, Findings& findings) {
  const std::string bytes = std::to_string(meta.data.size()) + " bytes instead of ";
  if (meta.type == midi::Meta::tempo) {
    if (meta.data.size() != 3) {
      findings.add("midi-tempo", midi::at_byte(meta.byte), "a tempo event of " + bytes + "3");
      return;
    }
    const std::uint32_t microseconds = midi::tempo_in(meta).value_or(0);
    constexpr std::uint32_t slowest = 6'000'000;  // 10 quarter notes a minute
    constexpr std::uint32_t fastest = 120'000;    // 500
    if (microseconds >= fastest && microseconds <= slowest) return;
    findings.add("midi-tempo", midi::at_byte(meta.byte),
                 microseconds == 0 ? "a quarter note that takes no time"
                                   : "a quarter note of " + std::to_string(microseconds) + " microseconds, " +
                                         std::to_string(60'000'000 / microseconds) + " a minute");
  } else if (meta.type == midi::Meta::time_signature) {
    if (meta.data.size() != 4) {
      findings.add("midi-meter", midi::at_byte(meta.byte), "a time signature of " + bytes + "4");
    } else if (!midi::meter_in(meta)) {
      const auto number = [&meta](std::size_t i) {
        return std::to_string(static_cast<unsigned char>(meta.data[i]));
      };
      findings.add("midi-meter", midi::at_byte(meta.byte),
                   "a meter of " + number(0) + " beats of 1/2^" + number(1));
    }
  }
}

void pairing_rules(const midi::PairingFault& fault, const MidiClock& clock, Findings& findings) {
  const Place place = clock.at(fault.tick);
  const std::string where =
      "track " + std::to_string(fault.track + 1) + ", channel " + std::to_string(fault.channel + 1) + ": ";
  const std::string key = where + words_of_pitch(fault.key) + " (key " + std::to_string(fault.key) + ")";
  const std::string tick = std::to_string(fault.tick);
  switch (fault.kind) {
    case midi::PairingFault::Kind::struck_again:
      findings.add("midi-overlapping-note", place,
                   key + " is struck again at tick " + tick + " while it sounds");
      break;
    case midi::PairingFault::Kind::note_off_alone:
      findings.add("midi-stray-note-off", place,
                   key + " has a note-off at tick " + tick + " and does not sound");
      break;
    case midi::PairingFault::Kind::never_let_go:
      findings.add("midi-hanging-note", place, key + ", struck at tick " + tick + ", has no note-off");
      break;
    case midi::PairingFault::Kind::bend_without_range:
      findings.add("midi-bend-without-range", place,
                   where + "the pitch is bent at tick " + tick + ", and no bend range is set");
      break;
  }
}

// False where the track broke off, so that what sounds may well have ended.
bool is_whole(const midi::Scan& scan, std::size_t track) {
  const std::size_t begin = scan.tracks[track].byte;
  const std::size_t end =
      track + 1 < scan.tracks.size() ? scan.tracks[track + 1].byte : std::string_view::npos;
  return std::none_of(scan.damage.begin(), scan.damage.end(),
                      [&](const midi::Damage& damage) { return damage.byte >= begin && damage.byte <= end; });
}

}  // namespace

void midi_byte_rules(const midi::Scan& scan, Findings& findings) {
  for (const midi::Damage& damage : scan.damage) {
    findings.add(rule_for(damage.slug), midi::at_byte(damage.byte), damage.text);
  }
  // Tracks that are missing behind a cut are no fault of their own.
  const bool cut = std::any_of(scan.damage.begin(), scan.damage.end(),
                               [](const auto& damage) { return rule_for(damage.slug) == "midi-cut-off"; });
  for (const Entry& entry : scan.report.entries()) {
    if (cut && entry.slug == "midi-track-count") continue;
    if (find_rule(rule_for(entry.slug)) == nullptr || entry.kind != EntryKind::repair) continue;
    for (const Place& place : entry.places) findings.add(rule_for(entry.slug), place, entry.text);
  }
  for (const midi::ScannedTrack& track : scan.tracks) {
    for (const midi::MetaEvent& meta : track.metas) meta_rules(meta, findings);
  }
  const MidiClock clock(scan);
  Report passed_over;  // the reader adds it to its own
  for (const midi::PairingFault& fault : midi::pair_notes(scan, passed_over).faults) {
    const bool may_end = fault.kind == midi::PairingFault::Kind::never_let_go && !is_whole(scan, fault.track);
    if (!may_end) pairing_rules(fault, clock, findings);
  }
}

}  // namespace fifthpeg::check
