#include "formats/midi/reader/meta_events.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

namespace fifthpeg::midi::reader {
namespace {

constexpr std::int64_t finest_place =
    192;  // of a whole note: sixty-fourths and triplet sixty-fourths' thirds

Key key_at(const Measure& measure, Fraction offset) {
  Key key = measure.key;
  for (const KeyChange& change : measure.key_changes) {
    if (change.at <= offset) key = change.key;
  }
  return key;
}

ChordTone tone(int pitch_class, const Key& key) {
  const Pitch pitch = spell(60 + pitch_class, key);
  return {pitch.step, pitch.alter};
}

}  // namespace

Placer::Spot Placer::at(std::int64_t tick) const {
  tick = straightener_.straight(tick);
  const auto position = static_cast<double>(tick);
  const auto after =
      std::lower_bound(strokes_.begin(), strokes_.end(), tick,
                       [](const PlacedStroke& stroke, std::int64_t t) { return stroke.tick < t; });
  std::optional<Fraction> time;
  double nearest = near_;
  for (const auto candidate : {after, after == strokes_.begin() ? strokes_.end() : after - 1}) {
    if (candidate == strokes_.end()) continue;
    const double distance = std::abs(static_cast<double>(candidate->tick) - position);
    if (distance > nearest) continue;
    nearest = distance;
    time = candidate->at;
  }
  std::size_t bar = bars_.bar_at(position + 0.75);
  if (!time) {
    time = bars_.bars[bar].start + bars_.offset_at(bar, position, finest_place);
  }
  while (bar > 0 && *time < bars_.bars[bar].start) --bar;
  while (bar + 1 < bars_.bars.size() && *time >= bars_.bars[bar + 1].start) ++bar;
  Fraction offset = *time - bars_.bars[bar].start;
  if (bar == 0) offset -= layout_.pickup_rest;
  offset = std::clamp(offset, Fraction(0), score_.measures[bar].length);
  return {bar, offset};
}

void make_measures(Score& score, const Bars& bars, const Layout& layout) {
  const bool pickup = layout.short_first || layout.pickup_rest > 0;
  int number = pickup ? 0 : 1;
  score.measures.resize(bars.bars.size());
  for (std::size_t i = 0; i < bars.bars.size(); ++i) {
    const Bar& bar = bars.bars[i];
    Measure& measure = score.measures[i];
    measure.number = std::to_string(number++);
    measure.meter = bars.meter_of(bar);
    measure.length = bar.length;
    if (i == 0 && pickup) {
      measure.implicit = true;
      measure.length -= layout.pickup_rest;
      if (layout.short_first) measure.meter = bars.meter_of(bars.bars[1]);
    }
    if (i + 1 == bars.bars.size() && i > 0) measure.length = layout.last_length;
  }
}

void place_keys(Score& score, const TempoMap& map, const Placer& placer) {
  if (map.keys.empty()) return;
  // Before the first key that is stated, it holds too.
  Key key = map.keys.front().key;
  std::size_t next = 0;
  for (std::size_t i = 0; i < score.measures.size(); ++i) {
    Measure& measure = score.measures[i];
    measure.key = key;
    for (; next < map.keys.size(); ++next) {
      const Placer::Spot spot = placer.at(map.keys[next].tick);
      if (spot.measure > i) break;
      key = map.keys[next].key;
      if (spot.offset == 0 || spot.measure < i) {
        measure.key = key;
        measure.key_changes.clear();
      } else if (spot.offset < measure.length) {
        measure.key_changes.push_back({spot.offset, key});
      }
    }
  }
}

void place_tempos(Score& score, const TempoMap& map, const Placer& placer) {
  for (const TempoPoint& point : map.tempos) {
    if (!map.tempo_stated) break;
    const Placer::Spot spot = placer.at(point.tick);
    Measure& measure = score.measures[spot.measure];
    Tempo tempo;
    tempo.at = spot.offset;
    tempo.quarters_per_minute = quarters_per_minute(point.microseconds);
    tempo.beat_unit =
        measure.meter.is_compound() && measure.meter.unit == 8 ? Fraction(3, 8) : Fraction(1, 4);
    // Of several that fall on one place, the last one holds.
    if (!measure.tempos.empty() && measure.tempos.back().at == tempo.at) measure.tempos.pop_back();
    measure.tempos.push_back(tempo);
  }
}

void place_markers(Score& score, const Texts& texts, const Placer& placer) {
  for (const TimedText& marker : texts.markers) {
    const Placer::Spot spot = placer.at(marker.tick);
    Measure& measure = score.measures[spot.measure];
    if (auto chord = parse_chord_symbol(marker.text)) {
      chord->at = spot.offset;
      measure.chords.push_back(*chord);
    } else {
      const bool labeled =
          marker.text.starts_with(rehearsal_label) && marker.text.size() > rehearsal_label.size();
      measure.directions.push_back({spot.offset, Direction::Kind::rehearsal,
                                    labeled ? marker.text.substr(rehearsal_label.size()) : marker.text});
    }
  }
  for (const TimedText& words : texts.words) {
    const Placer::Spot spot = placer.at(words.tick);
    score.measures[spot.measure].directions.push_back({spot.offset, Direction::Kind::words, words.text});
  }
}

void place_chords(Score& score, const std::vector<ChordPoint>& chords, const Placer& placer) {
  for (const ChordPoint& point : chords) {
    const Placer::Spot spot = placer.at(point.tick);
    Measure& measure = score.measures[spot.measure];
    ChordSymbol chord = point.chord;
    const Key key = key_at(measure, spot.offset);
    chord.at = spot.offset;
    chord.root = tone(point.root, key);
    if (point.bass >= 0) chord.bass = tone(point.bass, key);
    const bool stated = std::any_of(measure.chords.begin(), measure.chords.end(),
                                    [&](const ChordSymbol& other) { return other.at == chord.at; });
    if (!stated) measure.chords.push_back(std::move(chord));
  }
}

void place_lyrics(Score& score, const Texts& texts, std::size_t track, const Placer& placer, Report& report) {
  if (texts.lyrics.empty()) return;
  const auto in_track = [&](const TimedText& lyric) { return lyric.track == track; };
  const std::size_t taken =
      std::any_of(texts.lyrics.begin(), texts.lyrics.end(), in_track) ? track : texts.lyrics.front().track;
  bool inside_word = false;
  for (const TimedText& lyric : texts.lyrics) {
    if (lyric.track != taken) {
      report.add(EntryKind::loss, "midi-lyrics-elsewhere", "lyrics of other tracks were ignored");
      continue;
    }
    std::string text = lyric.text;
    // Karaoke files begin lines and verses with a slash or a backslash (common practice).
    if (!text.empty() && (text.front() == '/' || text.front() == '\\')) text.erase(0, 1);
    const bool goes_on = text.size() > 1 && text.back() == '-';
    if (goes_on) text.pop_back();
    if (text.empty()) continue;
    const Placer::Spot spot = placer.at(lyric.tick);
    auto& strokes = score.measures[spot.measure].strokes;
    auto stroke = std::lower_bound(strokes.begin(), strokes.end(), spot.offset,
                                   [](const Stroke& s, Fraction offset) { return s.onset < offset; });
    while (stroke != strokes.end() && stroke->onset == spot.offset && stroke->grace != Grace::none) ++stroke;
    if (stroke == strokes.end() || stroke->onset != spot.offset || stroke->is_rest() ||
        !stroke->lyrics.empty() || stroke->notes.front().tied_from_previous) {
      report.add(EntryKind::loss, "midi-lyric-without-note", "a syllable with no note under it was ignored");
      continue;
    }
    const Syllabic syllabic = inside_word ? (goes_on ? Syllabic::middle : Syllabic::end)
                                          : (goes_on ? Syllabic::begin : Syllabic::single);
    stroke->lyrics.push_back({"1", syllabic, text});
    inside_word = goes_on;
  }
}

}  // namespace fifthpeg::midi::reader
