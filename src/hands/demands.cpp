#include "hands/demands.hpp"

#include <algorithm>
#include <optional>

#include "hands/costs.hpp"
#include "hands/reach.hpp"
#include "hands/request.hpp"
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

// How many times coarser the grid is that a stroke off the beat is just not on: half as many places in the
// beat, or of thirds a third. Nothing on the beat.
std::optional<std::int64_t> coarser_grid(const Timed& stroke) {
  const std::int64_t parts = stroke.in_beat.den();
  if (parts == 1) return std::nullopt;
  return parts % 2 == 0 ? 2 : parts % 3 == 0 ? 3 : parts;
}

// So many places at most have to be felt in a note that is held: then the time is lost, or is not needed.
constexpr int most_felt = 16;

void count_time(const Score& score, Demands& demands) {
  const std::vector<Timed> strokes = timed_strokes(score);
  std::vector<Fraction> felt;  // strokes, and what is held over
  felt.reserve(2 * strokes.size());
  for (std::size_t i = 0; i < strokes.size(); ++i) {
    const Timed& stroke = strokes[i];
    felt.push_back(stroke.at);
    const auto times = coarser_grid(stroke);
    if (!times) continue;
    const Fraction lasts_to = i + 1 < strokes.size() ? strokes[i + 1].at : stroke.ends;
    const Fraction each(*times, stroke.in_beat.den());
    const std::int64_t passed = stroke.in_beat.num() / *times;
    const Fraction first = stroke.at - stroke.in_beat + each * Fraction(passed + 1);
    if (first >= lasts_to) continue;
    ++demands.syncopations;
    // Of thirds, half the value is no syncopation any more: it would bring less than twice the strokes.
    if (stroke.in_beat.den() % 2 != 0) continue;
    Fraction place = first;
    for (int n = 0; n < most_felt && place < lasts_to; ++n, place += each) felt.push_back(place);
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

constexpr int untouched = -1;

// What a stroke asks of the strings; where it sounds open or as a chime, of no finger.
struct TouchedStroke {
  Fraction at;                            // beats from the start of the piece
  std::array<int, string_count> frets{};  // by string; 0 is open
  int low = 0;                            // of the stopped ones
  int high = 0;
  int stopped = 0;  // strings
  bool slides = false;
  bool goes_on = false;  // tied: nothing is done
};

TouchedStroke touched_by_stroke(const Stroke& stroke) {
  TouchedStroke touched;
  touched.frets.fill(untouched);
  touched.goes_on = std::all_of(stroke.notes.begin(), stroke.notes.end(),
                                [](const Note& note) { return note.tied_from_previous; });
  for (const Note& note : stroke.notes) {
    if (!note.placement) continue;
    const int fret = note.harmonic || note.dead ? 0 : fret_of(*note.placement);
    touched.frets.at(static_cast<std::size_t>(string_of(*note.placement) - 1)) = fret;
    if (fret == 0) continue;
    touched.low = touched.stopped == 0 ? fret : std::min(touched.low, fret);
    touched.high = std::max(touched.high, fret);
    ++touched.stopped;
    touched.slides = touched.slides || note.into == Technique::slide;
  }
  return touched;
}

std::vector<TouchedStroke> touched_strokes(const Score& score) {
  std::vector<TouchedStroke> strokes;
  Fraction start;
  for (const Measure& measure : score.measures) {
    const Fraction beat = measure.meter.beat();
    for (const Stroke& stroke : measure.strokes) {
      if (stroke.is_rest()) continue;
      strokes.push_back(touched_by_stroke(stroke));
      strokes.back().at = start + stroke.onset / beat;
    }
    start += measure.length / beat;
  }
  return strokes;
}

constexpr int one_hand = CostTable{}.longest_step;

// Each grip, and what lies between it and what was last stopped on the other strings: there the fingers stay,
// until a string sounds open.
void count_postures(const std::vector<TouchedStroke>& strokes, const Neck& neck, Demands& demands) {
  std::array<int, string_count> held{};  // frets, by string
  demands.postures.reserve(2 * strokes.size());
  for (const TouchedStroke& stroke : strokes) {
    if (stroke.stopped > 0) {
      demands.postures.push_back(
          {stroke.low, stroke.high, neck.span_mm(stroke.low, stroke.high), stroke.stopped});
    }
    for (std::size_t i = 0; i < held.size(); ++i) {
      const int fret = stroke.frets.at(i);
      if (fret != untouched || held.at(i) == 0 || stroke.stopped == 0) continue;
      const int low = std::min(held.at(i), stroke.low);
      const int high = std::max(held.at(i), stroke.high);
      const bool parted = high > low + one_hand;
      const double span = parted ? whole_hand_hard_mm : neck.span_mm(low, high);
      const Posture across{low, high, span, 1, parted};
      demands.postures.push_back(across);
    }
    for (std::size_t i = 0; i < held.size(); ++i) {
      if (stroke.frets.at(i) != untouched) held.at(i) = stroke.frets.at(i);
    }
  }
}

// Where the hand stands, as the fret of its index finger: anywhere from `lowest` to `highest`, until it first
// has to move. It then moves no further than it must.
struct Standing {
  int lowest = 0;
  int highest = 1000;  // higher than any neck
  int travel = 0;

  void reach_up_to(int fret) {
    const int needed = fret - one_hand;
    if (needed > highest) {
      travel += needed - highest;
      highest = needed;
    }
    lowest = std::max(lowest, needed);
  }
  void reach_down_to(int fret) {
    if (fret < lowest) {
      travel += lowest - fret;
      lowest = fret;
    }
    highest = std::min(highest, fret);
  }
};

// For a grip that is wider than one hand reaches, it goes up and comes back.
void count_shifts(const std::vector<TouchedStroke>& strokes, Demands& demands) {
  Standing hand;
  Fraction last;
  for (const TouchedStroke& stroke : strokes) {
    if (stroke.stopped == 0) continue;
    const Standing before = hand;
    hand.reach_up_to(stroke.high);
    hand.reach_down_to(stroke.low);
    const int frets = std::max(hand.lowest - before.highest, before.lowest - hand.highest);
    if (frets > 0) demands.shifts.push_back({frets, stroke.at - last, stroke.slides});
    last = stroke.at;
  }
  demands.travel = hand.travel;
}

void count_stops(const std::vector<TouchedStroke>& strokes, Demands& demands) {
  std::array<bool, string_count> stopped{};
  for (const TouchedStroke& stroke : strokes) {
    if (stroke.stopped == 0 || stroke.goes_on) continue;
    ++demands.stopped_strokes;
    for (std::size_t i = 0; i < stopped.size(); ++i) stopped.at(i) = stopped.at(i) || stroke.frets.at(i) > 0;
  }
  demands.stopped_strings = static_cast<int>(std::count(stopped.begin(), stopped.end(), true));
}

bool is_dropped_thumb(const Note& note) {
  return note.picking_finger == PickingFinger::thumb && !note.tied_from_previous && note.placement &&
         note.placement->string != fifth_string;
}

void count_dropped_thumbs(const Score& score, Demands& demands) {
  bool has_nail = false;
  std::uint64_t dropped = 0;
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      for (const Note& note : stroke.notes) {
        has_nail = has_nail || note.picking_finger == PickingFinger::nail;
        if (is_dropped_thumb(note)) ++dropped;
      }
    }
  }
  if (has_nail) demands.dropped_thumbs = dropped;
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
  const std::vector<TouchedStroke> strokes = touched_strokes(score);
  count_postures(strokes, neck, demands);
  count_shifts(strokes, demands);
  count_stops(strokes, demands);
  count_techniques(score, demands);
  count_dropped_thumbs(score, demands);
  return demands;
}

}  // namespace fifthpeg::hands
