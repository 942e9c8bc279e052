#include "formats/midi/reader/tempo_map.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>
#include <utility>
namespace fifthpeg::midi::reader {
namespace {

constexpr int real_time_ticks_per_quarter = 960;

template <typename Point>
void sort_by_tick(std::vector<Point>& points) {
  std::stable_sort(points.begin(), points.end(),
                   [](const Point& a, const Point& b) { return a.tick < b.tick; });
  // Of several at one tick, the last one holds.
  const auto kept = std::unique(points.rbegin(), points.rend(),
                                [](const Point& a, const Point& b) { return a.tick == b.tick; });
  points.erase(points.begin(), kept.base());
}

struct IgnoredMeta {
  Meta type;
  std::string_view slug;
  std::string_view text;
};

// Meta events that say nothing about the music.
constexpr std::array<IgnoredMeta, 5> ignored{
    {{Meta::smpte_offset, "midi-smpte-offset", "a time code offset was ignored"},
     {Meta::sequence_number, "midi-sequence-number", "the number of a sequence was ignored"},
     {Meta::channel_prefix, "midi-channel-prefix",
      "what channel names and texts belong to (channel prefixes) was ignored"},
     {Meta::port, "midi-port", "a port other than the first was ignored"},
     {Meta::sequencer_specific, "midi-sequencer-specific", "events for one maker's sequencer were ignored"}}};

void lose(const MetaEvent& meta, Report& report) {
  if (meta.type == Meta::port && (meta.data.empty() || meta.data.front() == 0)) return;
  for (const IgnoredMeta& one : ignored) {
    if (one.type == meta.type) report.add(EntryKind::loss, one.slug, one.text, at_byte(meta.byte));
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
      const auto keep = [&](auto& points, auto value) {
        if (value) {
          points.push_back({tick, std::move(*value)});
        } else {
          report.add(EntryKind::repair, "midi-bad-meta", "an invalid tempo, meter or key was ignored",
                     at_byte(meta.byte));
        }
      };
      if (meta.type == Meta::tempo) {
        keep(map_.tempos, tempo_in(meta));
      } else if (meta.type == Meta::time_signature) {
        keep(map_.meters, meter_in(meta));
      } else if (meta.type == Meta::key_signature) {
        keep(map_.keys, key_in(meta));
      } else {
        lose(meta, report);
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
