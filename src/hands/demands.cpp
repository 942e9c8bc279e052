#include "hands/demands.hpp"

#include <algorithm>
#include <optional>

#include "hands/costs.hpp"
#include "hands/reach.hpp"
#include "hands/request.hpp"
#include "hands/shapes.hpp"
#include "hands/stroke_sequence.hpp"

namespace fifthpeg::hands {
namespace {

// ---- time ------------------------------------------------------------------------------------------

// What a run of so few intervals counts. From memory: two quick notes are less trouble than four.
constexpr std::array<double, 4> run_counts{0.6, 0.75, 0.9, 1.0};

// A stroke that takes time, in beats of its meter.
struct Timed {
  Fraction at;       // from the start of the piece
  Fraction in_beat;  // past the beat
  Fraction ends;     // as it sounds, ties included
};

std::vector<Timed> timed_strokes(const Score& score) {
  std::vector<Timed> strokes;
  Fraction start;  // of the measure, so that its beats are whole
  for (const Measure& measure : score.measures) {
    const Fraction beat = measure.meter.beat();
    const Fraction before = counted_before(measure) / beat;
    for (const Stroke& stroke : measure.strokes) {
      if (stroke.is_rest() || stroke.grace != Grace::none) continue;
      const Fraction in_measure = stroke.onset / beat;
      const Fraction ends = start + in_measure + stroke.duration / beat;
      const bool goes_on = std::all_of(stroke.notes.begin(), stroke.notes.end(),
                                       [](const Note& note) { return note.tied_from_previous; });
      if (goes_on) {
        if (!strokes.empty()) strokes.back().ends = ends;
        continue;
      }
      const Fraction counted = before + in_measure;
      strokes.push_back({start + in_measure, counted - counted.floor(), ends});
    }
    start += measure.length / beat;
  }
  return strokes;
}

// The place that a stroke off the beat goes over: the next one of a grid with half as many places in the
// beat, or of thirds a third. Nothing on the beat.
std::optional<Fraction> stronger_place_after(const Timed& stroke) {
  const std::int64_t parts = stroke.in_beat.den();
  if (parts == 1) return std::nullopt;
  const std::int64_t coarser = parts % 2 == 0 ? parts / 2 : parts % 3 == 0 ? parts / 3 : 1;
  const Fraction next((stroke.in_beat * coarser).floor() + 1, coarser);
  return stroke.at + next - stroke.in_beat;
}

void count_time(const Score& score, Demands& demands) {
  const std::vector<Timed> strokes = timed_strokes(score);
  std::vector<Fraction> felt;  // strokes, and what is held over
  felt.reserve(2 * strokes.size());
  for (std::size_t i = 0; i < strokes.size(); ++i) {
    felt.push_back(strokes[i].at);
    const Fraction lasts_to = i + 1 < strokes.size() ? strokes[i + 1].at : strokes[i].ends;
    const auto stronger = stronger_place_after(strokes[i]);
    if (!stronger || *stronger >= lasts_to) continue;
    ++demands.syncopations;
    felt.push_back(*stronger);
  }
  constexpr double beat_seconds = 60.0 / counted_at_tempo;
  for (std::size_t i = 0; i < felt.size(); ++i) {
    for (std::size_t n = 1; n <= run_counts.size() && n <= i; ++n) {
      const double beats = (felt[i] - felt[i - n]).to_double();
      if (beats <= 0.0) continue;
      const double a_second = run_counts[n - 1] * static_cast<double>(n) / (beats * beat_seconds);
      demands.strokes_a_second = std::max(demands.strokes_a_second, a_second);
    }
  }
}

// ---- the fret hand -----------------------------------------------------------------------------------

struct Stopped {
  Fraction at;  // beats from the start of the piece
  int low = 0;
  int high = 0;
  std::uint8_t strings = 0;  // as bits
  int count = 0;
  bool slides = false;
};

std::vector<Stopped> stopped_strokes(const Score& score) {
  std::vector<Stopped> strokes;
  Fraction start;
  for (const Measure& measure : score.measures) {
    const Fraction beat = measure.meter.beat();
    for (const Stroke& stroke : measure.strokes) {
      Stopped stopped;
      stopped.at = start + stroke.onset / beat;
      for (const Note& note : stroke.notes) {
        if (!note.placement || note.placement->fret == 0 || note.harmonic || note.dead) continue;
        const int fret = fret_of(*note.placement);
        stopped.low = stopped.count == 0 ? fret : std::min(stopped.low, fret);
        stopped.high = std::max(stopped.high, fret);
        stopped.strings |= string_bit(string_of(*note.placement));
        ++stopped.count;
        stopped.slides = stopped.slides || note.into == Technique::slide;
      }
      if (stopped.count > 0) strokes.push_back(stopped);
    }
    start += measure.length / beat;
  }
  return strokes;
}

constexpr int one_hand = CostTable{}.longest_step;

void count_postures(const std::vector<Stopped>& strokes, const Neck& neck, Demands& demands) {
  const Stopped* before = nullptr;
  for (const Stopped& stroke : strokes) {
    demands.postures.push_back(
        {stroke.low, stroke.high, neck.span_mm(stroke.low, stroke.high), stroke.count});
    // On other strings what was stopped is held on.
    if (before != nullptr && (before->strings & stroke.strings) == 0) {
      const int low = std::min(before->low, stroke.low);
      const int high = std::max(before->high, stroke.high);
      demands.postures.push_back({low, high, neck.span_mm(low, std::min(high, low + one_hand)), 1});
    }
    before = &stroke;
  }
}

// The index finger's fret can be any from `lowest` to `highest` until the hand first has to move; then it is
// where it moved to.
void count_shifts(const std::vector<Stopped>& strokes, Demands& demands) {
  if (strokes.empty()) return;
  const auto from = [](const Stopped& stroke) { return stroke.high - one_hand; };
  const auto to = [&](const Stopped& stroke) { return std::max(stroke.low, from(stroke)); };
  int lowest = from(strokes.front());
  int highest = to(strokes.front());
  Fraction last = strokes.front().at;
  for (const Stopped& stroke : strokes) {
    const int low = from(stroke);
    const int high = to(stroke);
    if (low > highest || high < lowest) {
      const int up = low - highest;
      demands.shifts.push_back({std::max(up, lowest - high), stroke.at - last, stroke.slides});
      lowest = highest = up > 0 ? low : high;
    } else {
      lowest = std::max(lowest, low);
      highest = std::min(highest, high);
    }
    last = stroke.at;
  }
}

void count_techniques(const Score& score, Demands& demands) {
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      for (const Note& note : stroke.notes) {
        if (note.tied_from_previous) continue;
        if (note.into != Technique::none) ++demands.slurs.at(static_cast<std::size_t>(note.into));
        if (note.choke) ++demands.chokes;
      }
    }
  }
}

}  // namespace

Demands demands_of(const Score& score) {
  Banjo banjo = score.banjo;
  banjo.capo = 0;
  const Neck neck(banjo, usual_scale_length_mm, 1.0);
  Demands demands;
  count_time(score, demands);
  const std::vector<Stopped> strokes = stopped_strokes(score);
  count_postures(strokes, neck, demands);
  count_shifts(strokes, demands);
  count_techniques(score, demands);
  return demands;
}

}  // namespace fifthpeg::hands
