#include "hands/stroke_sequence.hpp"

#include <algorithm>

#include "score/grace.hpp"

namespace fifthpeg::hands {
namespace {

constexpr double grace_seconds = grace_milliseconds / 1000.0;

// Seconds a whole note takes.
double whole_note_seconds(Fraction quarters_per_minute) {
  const double quarters = quarters_per_minute.to_double();
  return quarters > 0.0 ? 240.0 / quarters : 2.0;
}

// A hand that falls once a quarter (in compound meters on the first and the last third of the beat) leaves
// the eighths between to the thumb; among sixteenths it falls on every eighth. Common practice of
// clawhammer players.
bool is_off_beat(const Measure& measure, std::size_t at) {
  const Stroke& stroke = measure.strokes[at];
  if (stroke.grace != Grace::none) return false;
  if (measure.meter.is_compound()) {
    const Fraction in_beat =
        stroke.onset - measure.meter.beat() * (stroke.onset / measure.meter.beat()).floor();
    return in_beat != 0 && in_beat < Fraction(1, 4);
  }
  const Fraction in_quarter = stroke.onset - Fraction(1, 4) * (stroke.onset * 4).floor();
  if (in_quarter == 0) return false;
  if (in_quarter != Fraction(1, 8)) return true;
  // Whether it holds of the value of this stroke or of the one before.
  const auto near = [&](const auto& holds) {
    const auto it_holds = [&](const Stroke& one) { return one.grace == Grace::none && holds(one.duration); };
    return it_holds(stroke) || (at > 0 && it_holds(measure.strokes[at - 1]));
  };
  // Of three in an eighth the last has to be the thumb's, so that the nail has the beat.
  if (near([](Fraction duration) { return duration == Fraction(1, 24); })) return true;
  return !near([](Fraction duration) { return duration <= Fraction(1, 16); });
}

}  // namespace

std::vector<Event> line_of(const Score& score) {
  std::size_t strokes = 0;
  for (const Measure& measure : score.measures) strokes += measure.strokes.size();
  std::vector<Event> line;
  line.reserve(strokes);

  double whole = whole_note_seconds(Tempo{}.quarters_per_minute);
  double waited = 0.0;  // since the last stroke with notes
  double value = 0.0;   // the same, of whole notes
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
            {static_cast<std::uint32_t>(m),
             static_cast<std::uint32_t>(s),
             {static_cast<float>(waited), static_cast<float>(std::min(value, longest_wait_wholes))},
             is_off_beat(measure, s)});
        waited = value = 0.0;
      }
      if (stroke.grace == Grace::none) {
        waited += stroke.duration.to_double() * whole;
        value += stroke.duration.to_double();
      } else {
        // A grace note takes its time from what stands before it.
        if (!stroke.is_rest()) {
          float& before = line.back().wait.seconds;
          before = std::max(before / 2.0F, before - static_cast<float>(grace_seconds));
        }
        waited += grace_seconds;
        value += 1.0 / 32.0;
      }
    }
    for (; tempo != measure.tempos.end(); ++tempo) whole = whole_note_seconds(tempo->quarters_per_minute);
  }
  // Nothing the hands do takes longer; and what comes from a strange tempo stays a number to reckon with.
  for (Event& at : line) at.wait.seconds = std::clamp(at.wait.seconds, 0.0F, longest_wait_seconds);
  return line;
}

bool comes_after_rest(const Event& at, const Stroke& before) {
  constexpr double of_a_grace_note = 1.0 / 32.0;  // that stands between
  constexpr double rounding = 1e-3;
  return before.grace == Grace::none &&
         static_cast<double>(at.wait.wholes) > before.duration.to_double() + of_a_grace_note + rounding;
}

Place place_of(const Score& score, const Event& at) {
  const Measure& measure = score.measures[at.measure];
  Place place;
  place.measure = measure.number;
  place.beat = beat_at(measure, measure.strokes[at.stroke].onset);
  return place;
}

}  // namespace fifthpeg::hands
