#include "formats/midi/reader/tempo_map.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace fifthpeg::midi::reader {
namespace {

constexpr int real_time_ticks_per_quarter = 960;

template <typename Point>
void sort_by_tick(std::vector<Point>& points) {
  std::stable_sort(points.begin(), points.end(),
                   [](const Point& a, const Point& b) { return a.tick < b.tick; });
  // Of several at one tick, the last one holds.
  std::size_t kept = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (kept > 0 && points[kept - 1].tick == points[i].tick) --kept;
    if (kept != i) points[kept] = std::move(points[i]);
    ++kept;
  }
  points.resize(kept);
}

// Meta events that say nothing about the music.
void lose(const MetaEvent& meta, Report& report) {
  switch (meta.type) {
    case Meta::smpte_offset:
      report.add(EntryKind::loss, "midi-smpte-offset", "a time code offset was ignored", at_byte(meta.byte));
      break;
    case Meta::sequence_number:
      report.add(EntryKind::loss, "midi-sequence-number", "the number of a sequence was ignored",
                 at_byte(meta.byte));
      break;
    case Meta::channel_prefix:
      report.add(EntryKind::loss, "midi-channel-prefix",
                 "what channel names and texts belong to (channel prefixes) was ignored", at_byte(meta.byte));
      break;
    case Meta::port:
      if (!meta.data.empty() && meta.data.front() != 0)
        report.add(EntryKind::loss, "midi-port", "a port other than the first was ignored",
                   at_byte(meta.byte));
      break;
    case Meta::sequencer_specific:
      report.add(EntryKind::loss, "midi-sequencer-specific", "events for one maker's sequencer were ignored",
                 at_byte(meta.byte));
      break;
    default:
      break;
  }
}

}  // namespace

double TempoMap::seconds_per_tick_at(std::int64_t tick) const {
  const auto after = std::upper_bound(tempos.begin(), tempos.end(), tick,
                                      [](std::int64_t t, const TempoPoint& point) { return t < point.tick; });
  const TempoPoint& point = after == tempos.begin() ? tempos.front() : *(after - 1);
  return point.microseconds * 1e-6 / ticks_per_quarter;
}

Fraction quarters_per_minute(std::uint32_t microseconds) {
  constexpr std::int64_t minute = 60'000'000;
  const std::int64_t us = microseconds;
  const std::int64_t hundredths = (2 * minute * 100 + us) / (2 * us);  // rounded
  // Where a program rounded down instead, it gives the same microseconds by the other rounding.
  const auto gives_back = [us](std::int64_t in_hundredths) {
    if (in_hundredths <= 0) return false;
    const std::int64_t whole = minute * 100 / in_hundredths;
    const std::int64_t rounded = (2 * minute * 100 + in_hundredths) / (2 * in_hundredths);
    return us == whole || us == rounded;
  };
  const std::int64_t whole = (2 * minute + us) / (2 * us) * 100;
  if (gives_back(whole)) return {whole, 100};
  if (gives_back(hundredths)) return {hundredths, 100};
  return {minute, us};
}

Timeline::Timeline(const Scan& scan, Report& report) {
  if (scan.format == 2 && scan.tracks.size() > 1) {
    lay_out_patterns(scan);
    report.add(EntryKind::decision, "midi-format-2",
               "the patterns of a format 2 file are played one after another, each from a new measure on");
  }
  choose_clock(scan);
  if (scan.division.ticks_per_quarter == 0) {
    report.add(
        EntryKind::decision, "midi-real-time",
        "ticks that count real time were read by the first tempo stated, or 120 quarter notes a minute");
  }
  collect(scan, report);
}

// A pattern ends with the measure in which its track ends.
void Timeline::lay_out_patterns(const Scan& scan) {
  std::int64_t start = 0;
  const std::int64_t quarter = std::max(scan.division.ticks_per_quarter, 1);
  for (const ScannedTrack& track : scan.tracks) {
    pattern_starts_.push_back(start);
    Meter meter;
    std::int64_t since = 0;
    for (const MetaEvent& meta : track.metas) {
      if (const auto stated = meter_in(meta)) {
        meter = *stated;
        since = meta.tick;
      }
    }
    const std::int64_t measure = std::max<std::int64_t>(1, (meter.length() * Fraction(4 * quarter)).floor());
    const std::int64_t measures = (track.end - since + measure - 1) / measure;
    start = std::min(last_tick, start + since + measures * measure);
  }
}

void Timeline::choose_clock(const Scan& scan) {
  const Division& division = scan.division;
  if (division.ticks_per_quarter > 0) {
    map_.ticks_per_quarter = division.ticks_per_quarter;
    return;
  }
  std::uint32_t tempo = 500'000;
  for (const ScannedTrack& track : scan.tracks) {
    const auto stated = std::find_if(track.metas.begin(), track.metas.end(),
                                     [](const MetaEvent& meta) { return tempo_in(meta).has_value(); });
    if (stated == track.metas.end()) continue;
    tempo = *tempo_in(*stated);
    break;
  }
  // 29 stands for the 30000/1001 frames a second of drop-frame time code.
  const double frames = division.frames_per_second == 29 ? 30000.0 / 1001.0 : division.frames_per_second;
  const double file_ticks_per_quarter = frames * division.ticks_per_frame * tempo * 1e-6;
  map_.ticks_per_quarter = real_time_ticks_per_quarter;
  scale_ = real_time_ticks_per_quarter / file_ticks_per_quarter;
  map_.rounding = scale_ / 2 + 0.5;
}

std::int64_t Timeline::at(std::size_t track, std::int64_t tick) const {
  const std::int64_t start = pattern_starts_.empty() ? 0 : pattern_starts_[track];
  if (scale_ == 1.0) return std::min(last_tick, start + tick);
  return static_cast<std::int64_t>(
      std::min(static_cast<double>(last_tick), std::round(static_cast<double>(start + tick) * scale_)));
}

void Timeline::collect(const Scan& scan, Report& report) {
  for (std::size_t i = 0; i < scan.tracks.size(); ++i) {
    if (!pattern_starts_.empty()) map_.meters.push_back({at(i, 0), Meter{}});
    for (const MetaEvent& meta : scan.tracks[i].metas) {
      const std::int64_t tick = at(i, meta.tick);
      bool sound = true;
      switch (meta.type) {
        case Meta::tempo: {
          const auto microseconds = tempo_in(meta);
          sound = microseconds.has_value();
          if (sound) map_.tempos.push_back({tick, *microseconds});
          break;
        }
        case Meta::time_signature: {
          auto meter = meter_in(meta);
          sound = meter.has_value();
          if (sound) map_.meters.push_back({tick, std::move(*meter)});
          break;
        }
        case Meta::key_signature: {
          const auto key = key_in(meta);
          sound = key.has_value();
          if (sound) map_.keys.push_back({tick, *key});
          break;
        }
        default:
          lose(meta, report);
          break;
      }
      if (!sound) {
        report.add(EntryKind::repair, "midi-bad-meta", "an invalid tempo, meter or key was ignored",
                   at_byte(meta.byte));
      }
    }
  }
  map_.tempo_stated = !map_.tempos.empty();
  sort_by_tick(map_.tempos);
  sort_by_tick(map_.meters);
  sort_by_tick(map_.keys);
  if (scan.division.ticks_per_quarter == 0 && map_.tempos.size() > 1) {
    report.add(EntryKind::loss, "midi-real-time-tempo",
               "tempo changes of a file that counts real time were ignored");
    map_.tempos.resize(1);
    map_.tempos.front().tick = 0;
  }
  if (map_.tempos.empty() || map_.tempos.front().tick > 0)
    map_.tempos.insert(map_.tempos.begin(), TempoPoint{});
  if (map_.meters.empty() || map_.meters.front().tick > 0)
    map_.meters.insert(map_.meters.begin(), MeterPoint{});
}

}  // namespace fifthpeg::midi::reader
