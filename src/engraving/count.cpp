#include "engraving/count.hpp"

#include <algorithm>
#include <numeric>

namespace fifthpeg::engraving {
namespace {

// A beat that is divided finer than this, and a measure with more beats, is spaced stroke by stroke.
constexpr std::int64_t most_parts = 12;
constexpr std::int64_t most_beats = 64;
constexpr int plain_room = 3;

struct CountedBeat {
  std::vector<Fraction> inside;  // where strokes begin, as parts of the beat
  std::int64_t parts = 1;        // 0: not in proportion
};

// Columns for a beat in so many parts.
int beat_width(std::int64_t parts, int unit) {
  const bool short_beat = unit >= 8;
  switch (parts) {
    case 1:
      return short_beat ? 3 : 4;
    case 2:
      return short_beat ? 4 : 6;
    case 3:
      return short_beat ? 6 : 9;
    default:
      return static_cast<int>(parts) * 2;
  }
}

// Without proportion: one place a stroke, numbers where a stroke begins on a beat.
std::vector<CountedPlace> one_by_one(const Measure& measure, Fraction before) {
  std::vector<CountedPlace> places;
  for (const Stroke& stroke : measure.strokes) {
    if (stroke.grace != Grace::none) continue;
    const Fraction beat = (before + stroke.onset) * measure.meter.unit;
    CountedPlace place{stroke.onset, std::string(unproportioned_label), plain_room, true};
    if (beat.is_whole()) place.label = std::to_string(beat.num() + 1);
    places.push_back(std::move(place));
  }
  return places;
}

void add_unproportioned(std::vector<CountedPlace>& places, const CountedBeat& beat, std::int64_t number,
                        Fraction start, int unit) {
  if (start >= 0 && (beat.inside.empty() || beat.inside.front() != 0)) {
    places.push_back({start, std::to_string(number), plain_room, true});
  }
  for (const Fraction inside : beat.inside) {
    const bool on_beat = inside == 0;
    places.push_back({start + inside / unit,
                      on_beat ? std::to_string(number) : std::string(unproportioned_label), plain_room,
                      on_beat});
  }
}

}  // namespace

std::string count_label(std::int64_t beat, std::int64_t part, std::int64_t parts) {
  if (part == 0) return std::to_string(beat);
  const Fraction place(part, parts);
  if (place == Fraction(1, 2)) return "&";
  if (place == Fraction(1, 4)) return "e";
  if (place == Fraction(3, 4)) return "a";
  if (parts % 2 != 0 || parts == 6) {
    if (place == Fraction(1, 3)) return "&";
    if (place == Fraction(2, 3)) return "a";
  }
  return ".";
}

Fraction counted_from(const Measure& measure, bool first) {
  const Fraction whole = measure.meter.length();
  return first && measure.length < whole ? whole - measure.length : counted_before(measure);
}

std::vector<CountedPlace> counted_places(const Measure& measure, bool first) {
  const Fraction before = counted_from(measure, first);
  const int unit = measure.meter.unit;
  const std::int64_t first_beat = (before * unit).floor();
  const std::int64_t beat_count = -((-(before + measure.length) * unit).floor()) - first_beat;
  if (beat_count > most_beats || beat_count < 1) return one_by_one(measure, before);

  std::vector<CountedBeat> beats(static_cast<std::size_t>(beat_count));
  // A measure may begin inside a beat, and end inside of one.
  const Fraction lost = before * unit - first_beat;
  if (lost != 0) beats.front().parts = lost.den() <= most_parts ? lost.den() : 0;
  const Fraction left = (before + measure.length) * unit - (first_beat + beat_count - 1);
  if (left < 1 && beat_count > 1) beats.back().parts = left.den() <= most_parts ? left.den() : 0;
  for (const Stroke& stroke : measure.strokes) {
    if (stroke.grace != Grace::none) continue;
    const Fraction at = (before + stroke.onset) * unit - first_beat;
    const auto index = static_cast<std::size_t>(std::clamp<std::int64_t>(at.floor(), 0, beat_count - 1));
    CountedBeat& beat = beats[index];
    const Fraction inside = at - static_cast<std::int64_t>(index);
    beat.inside.push_back(inside);
    if (beat.parts > 0) {
      const bool fits = inside.den() <= most_parts && std::lcm(beat.parts, inside.den()) <= most_parts;
      beat.parts = fits ? std::lcm(beat.parts, inside.den()) : 0;
    }
  }
  int width = 0;
  for (const CountedBeat& beat : beats)
    width = std::max(width, beat_width(std::max<std::int64_t>(1, beat.parts), unit));

  std::vector<CountedPlace> places;
  for (std::size_t i = 0; i < beats.size(); ++i) {
    const CountedBeat& beat = beats[i];
    const std::int64_t number = first_beat + static_cast<std::int64_t>(i) + 1;
    const Fraction start = Fraction(number - 1, unit) - before;  // may lie before the measure
    if (beat.parts == 0) {
      add_unproportioned(places, beat, number, start, unit);
      continue;
    }
    const auto column = [&](std::int64_t part) { return static_cast<int>(width * part / beat.parts); };
    for (std::int64_t part = 0; part < beat.parts; ++part) {
      const Fraction offset = start + Fraction(part, beat.parts) / unit;
      if (offset < 0) continue;
      if (offset >= measure.length) break;
      places.push_back(
          {offset, count_label(number, part, beat.parts), column(part + 1) - column(part), part == 0});
    }
  }
  return places;
}

}  // namespace fifthpeg::engraving
