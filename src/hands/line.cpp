#include "hands/line.hpp"

#include <algorithm>

namespace fifthpeg::hands {
namespace {

// Seconds a whole note takes.
double whole_note_seconds(Fraction quarters_per_minute) {
  const double quarters = quarters_per_minute.to_double();
  return quarters > 0.0 ? 240.0 / quarters : 2.0;
}

}  // namespace

std::vector<Instant> line_of(const Score& score) {
  std::size_t strokes = 0;
  for (const Measure& measure : score.measures) strokes += measure.strokes.size();
  std::vector<Instant> line;
  line.reserve(strokes);

  double whole = whole_note_seconds(Tempo{}.quarters_per_minute);
  double waited = 0.0;  // since the last stroke with notes
  for (std::size_t m = 0; m < score.measures.size(); ++m) {
    const Measure& measure = score.measures[m];
    auto tempo = measure.tempos.begin();
    for (std::size_t s = 0; s < measure.strokes.size(); ++s) {
      const Stroke& stroke = measure.strokes[s];
      for (; tempo != measure.tempos.end() && tempo->at <= stroke.onset; ++tempo) {
        whole = whole_note_seconds(tempo->quarters_per_minute);
      }
      if (!stroke.is_rest()) {
        line.push_back(
            {static_cast<std::uint32_t>(m), static_cast<std::uint32_t>(s), static_cast<float>(waited)});
        waited = 0.0;
      }
      if (stroke.grace == Grace::none) {
        waited += stroke.duration.to_double() * whole;
      } else {
        // A grace note takes its time from what stands before it.
        if (!stroke.is_rest()) {
          float& before = line.back().seconds;
          before = std::max(before / 2.0F, before - static_cast<float>(grace_seconds));
        }
        waited += grace_seconds;
      }
    }
    for (; tempo != measure.tempos.end(); ++tempo) whole = whole_note_seconds(tempo->quarters_per_minute);
  }
  return line;
}

Place place_of(const Score& score, const Instant& at) {
  const Measure& measure = score.measures[at.measure];
  Place place;
  place.measure = measure.number;
  place.beat = beat_at(measure.meter, measure.strokes[at.stroke].onset);
  return place;
}

}  // namespace fifthpeg::hands
