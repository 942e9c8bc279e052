#include "arrange/breaks.hpp"

#include <algorithm>
#include <iterator>
#include <string>
#include <utility>

#include "harmony/units.hpp"
#include "score/playing_order.hpp"

namespace fifthpeg::arranging {
namespace {

Fraction pickup_of(const Score& score) {
  harmony::BarCounter counter(true);
  counter.next(score.measures.front(), score.measures.size() == 1);
  return counter.is_pickup() ? score.measures.front().length : Fraction();
}

void shorten(Measure& measure, Fraction by) {
  measure.length -= by;
  std::erase_if(measure.strokes, [&](const Stroke& stroke) { return stroke.onset >= measure.length; });
  Stroke& last = measure.strokes.back();
  last.duration = measure.length - last.onset;
  const auto beyond = [&](const auto& thing) { return thing.at >= measure.length; };
  std::erase_if(measure.tempos, beyond);
  std::erase_if(measure.key_changes, beyond);
  std::erase_if(measure.chords, beyond);
  for (Direction& direction : measure.directions) direction.at = std::min(direction.at, measure.length);
}

}  // namespace

void state_beginning(Score& score) {
  Measure& first = score.measures.front();
  const auto sign = std::find_if(score.measures.begin(), score.measures.end(), [](const Measure& measure) {
    return measure.repeat_starts || measure.repeat_times > 0;
  });
  if (sign != score.measures.end() && !sign->repeat_starts) first.repeat_starts = true;
  const bool tempo_changes = std::any_of(score.measures.begin(), score.measures.end(),
                                         [](const Measure& measure) { return !measure.tempos.empty(); });
  if (tempo_changes && (first.tempos.empty() || first.tempos.front().at > 0)) {
    Tempo tempo;
    tempo.shown = false;
    first.tempos.insert(first.tempos.begin(), tempo);
  }
}

Fraction room_for_pickup(const Score& melody) {
  const Fraction pickup = pickup_of(melody);
  const Measure& last = melody.measures.back();
  const Fraction end = last.meter.length() - pickup;
  if (pickup == 0 || end <= 0 || last.length <= end) return {};
  const auto is_late = [&](const Stroke& stroke) { return stroke.onset >= end && !stroke.is_rest(); };
  return std::any_of(last.strokes.begin(), last.strokes.end(), is_late) ? Fraction() : last.length - end;
}

Score joined(std::vector<Score> breaks, Fraction room) {
  Score whole;
  for (std::size_t b = 0; b < breaks.size(); ++b) {
    Score& one = breaks[b];
    state_beginning(one);
    Direction name;
    name.kind = Direction::Kind::rehearsal;
    name.text = "Break ";
    name.text += std::to_string(b + 1);
    auto& directions = one.measures.front().directions;
    directions.insert(directions.begin(), std::move(name));
    if (b + 1 < breaks.size()) {
      Measure& last = one.measures.back();
      if (room > 0) shorten(last, room);
      last.right_bar = BarStyle::light_light;
    }
    if (b == 0) {
      whole = std::move(one);
      continue;
    }
    std::move(one.measures.begin(), one.measures.end(), std::back_inserter(whole.measures));
  }
  count_measures(whole.measures);
  normalize(whole);
  return whole;
}

}  // namespace fifthpeg::arranging
