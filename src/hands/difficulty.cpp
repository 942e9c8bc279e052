#include "hands/difficulty.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "base/text.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/summary.hpp"
#include "hands/demands.hpp"
#include "hands/learner.hpp"
#include "hands/reach.hpp"
#include "hands/source_fingering.hpp"

namespace fifthpeg {
namespace {

using hands::Demands;
using hands::DifficultyWeights;
using hands::Posture;
using hands::Shift;

constexpr DifficultyWeights difficulty_weights;
// A fret further up, a stretch is shorter by 1 - 2^(-1/12): the fret has to weigh more.
static_assert(difficulty_weights.fret_up_the_neck >
              difficulty_weights.stretch_mm * hands::whole_hand_hard_mm * 0.0562);
// Halved values bring twice the strokes, whatever syncopation they lose.
static_assert(difficulty_weights.most_syncopation < 1.0);

// ---- effort ------------------------------------------------------------------------------------------

struct Part {
  double effort = 0;
  std::string reason;
};

std::string one_decimal(double value) {
  std::array<char, 32> text{};
  std::snprintf(text.data(), text.size(), "%.1f", value);
  return text.data();
}

std::string in_millimeters(double value) {
  return std::to_string(std::lround(value)) + " mm";
}

double stretch_of(const Posture& posture) {
  const auto& w = difficulty_weights;
  const double most = hands::whole_hand_hard_mm - w.stretch_from_mm;
  return w.stretch_mm * std::clamp(posture.span_mm - w.stretch_from_mm, 0.0, most);
}

double height_of(const Posture& posture) {
  const auto& w = difficulty_weights;
  return w.fret_up_the_neck * std::max(0, posture.high_fret - w.first_frets);
}

double strings_of(const Posture& posture) {
  return difficulty_weights.string_at_once * posture.stopped;
}

double effort_of(const Posture& posture) {
  return stretch_of(posture) + height_of(posture) + strings_of(posture);
}

std::vector<Part> parts_of_posture(const Demands& demands) {
  const auto hardest =
      std::max_element(demands.postures.begin(), demands.postures.end(),
                       [](const Posture& a, const Posture& b) { return effort_of(a) < effort_of(b); });
  if (hardest == demands.postures.end()) return {};
  const std::string frets =
      std::to_string(hardest->low_fret) + " to fret " + std::to_string(hardest->high_fret);
  return {{stretch_of(*hardest),
           hardest->parted ? "strings stopped as far apart as fret " + frets
                           : "a stretch of " + in_millimeters(hardest->span_mm) + ", from fret " + frets},
          {height_of(*hardest), "up the neck to fret " + std::to_string(hardest->high_fret)},
          {strings_of(*hardest),
           base::counted(static_cast<std::uint64_t>(hardest->stopped), "string") + " stopped at once"}};
}

Part travel_part(const Demands& demands) {
  int longest = 0;
  for (const Shift& shift : demands.shifts) longest = std::max(longest, shift.frets);
  const auto frets = [](int count) { return base::counted(static_cast<std::uint64_t>(count), "fret"); };
  const std::size_t count = demands.shifts.size();
  return {difficulty_weights.travel * std::sqrt(demands.travel),
          count == 0   ? "a reach of " + frets(demands.travel) + " beyond one hand"
          : count == 1 ? "a shift of " + frets(longest)
                       : std::to_string(count) + " shifts, the largest of " + frets(longest)};
}

Part slurs_part(const Demands& demands) {
  double sum = difficulty_weights.choke * static_cast<double>(demands.chokes);
  std::string text;
  const auto add = [&text](std::uint64_t count, std::string_view name) {
    if (count == 0) return;
    text += text.empty() ? "" : ", ";
    text += base::counted(count, name);
  };
  for (std::size_t i = 1; i < demands.slurs.size(); ++i) {  // by Technique, of which the first is none
    sum += difficulty_weights.slur_of.at(i) * static_cast<double>(demands.slurs.at(i));
    add(demands.slurs.at(i), technique_names()[i - 1]);
  }
  add(demands.chokes, "choke");
  return {difficulty_weights.slurs * std::sqrt(sum), std::move(text)};
}

Part stops_part(const Demands& demands) {
  const auto& w = difficulty_weights;
  const std::uint64_t strokes =
      std::clamp(demands.stopped_strokes, w.free_strokes, w.most_strokes) - w.free_strokes;
  const int strings = std::max(0, demands.stopped_strings - w.free_strings);
  return {w.stopped_stroke * static_cast<double>(strokes) + w.stopped_string * strings,
          base::counted(demands.stopped_strokes, "stopped stroke") + " on " +
              base::counted(static_cast<std::uint64_t>(demands.stopped_strings), "string")};
}

Part thumb_part(const Demands& demands) {
  return {difficulty_weights.dropped_thumb * std::sqrt(static_cast<double>(demands.dropped_thumbs)),
          "the thumb dropped to a long string " + base::counted(demands.dropped_thumbs, "time")};
}

std::vector<Part> parts_of(const Demands& demands) {
  const auto& w = difficulty_weights;
  std::vector<Part> parts = parts_of_posture(demands);
  const double strokes = w.stroke_a_second * demands.strokes_a_second;
  parts.push_back({strokes, one_decimal(demands.strokes_a_second) + " strokes a second at " +
                                std::to_string(hands::counted_at_tempo) + " beats a minute"});
  if (demands.syncopations > 0) {
    const double share =
        w.first_syncopation + w.each_syncopation * static_cast<double>(demands.syncopations - 1);
    parts.push_back({strokes * std::min(share, w.most_syncopation),
                     base::counted(demands.syncopations, "note") + " off the beat held over it"});
  }
  parts.push_back(travel_part(demands));
  parts.push_back(slurs_part(demands));
  parts.push_back(stops_part(demands));
  parts.push_back(thumb_part(demands));
  std::erase_if(parts, [](const Part& part) { return part.effort <= 0.0; });
  std::stable_sort(parts.begin(), parts.end(),
                   [](const Part& a, const Part& b) { return a.effort > b.effort; });
  return parts;
}

int level_of(double effort) {
  int level = easiest_difficulty;
  for (const double from : difficulty_weights.level_from) level += effort >= from ? 1 : 0;
  return level;
}

// Of a grip that is more than comfortable (reach.hpp).
std::string caution_of(const Demands& demands) {
  double widest = 0.0;
  for (const Posture& posture : demands.postures) {
    if (posture.stopped > 1) widest = std::max(widest, posture.span_mm);
  }
  double comfortable = 0.0;
  for (const hands::Stretch& two : hands::neighbors) comfortable += two.comfortable;
  if (widest <= comfortable) return {};
  return "one grip spans " + in_millimeters(widest) +
         ", more than is comfortable for most hands: where it hurts, stop; what a teacher or a hand "
         "therapist "
         "says outranks this";
}

// ---- tempos ------------------------------------------------------------------------------------------

// The beat of the meter that an event is in.
Fraction beat_of(const Score& score, const hands::Event& at) {
  return score.measures[at.measure].meter.beat();
}

// The fastest tempo at which no picking finger repeats, and no shift comes, sooner than a learner manages.
double manageable_tempo(const Score& score, const Demands& demands) {
  double tempo = difficulty_weights.fastest_goal;
  for (const hands::FingerRepeat& repeat : hands::finger_repeats(score)) {
    tempo = std::min(tempo, hands::learners_tempo(repeat.value, beat_of(score, repeat.at)));
  }
  for (const Shift& shift : demands.shifts) {
    if (shift.slides || shift.beats == 0) continue;
    tempo = std::min(tempo, hands::learners_tempo_for_shift(shift.frets, shift.beats));
  }
  return tempo;
}

// Even, as metronomes have them, and no faster.
int on_metronome(double tempo) {
  return std::max(difficulty_weights.slowest, 2 * static_cast<int>(tempo / 2.0));
}

// Even steps, none greater than the weights say.
std::vector<int> ladder_of(int start, int goal) {
  std::vector<int> ladder{start};
  if (goal == start) return ladder;
  const double whole = std::log(static_cast<double>(goal) / start);
  const int steps = static_cast<int>(std::ceil(whole / std::log(1.0 + difficulty_weights.step)));
  ladder.reserve(static_cast<std::size_t>(steps) + 1);
  for (int i = 1; i < steps; ++i) {
    const int tempo = on_metronome(start * std::exp(whole * i / steps));
    if (tempo > ladder.back() && tempo < goal) ladder.push_back(tempo);
  }
  ladder.push_back(goal);
  return ladder;
}

void find_tempos(const Score& score, const Demands& demands, Difficulty& result) {
  const auto& w = difficulty_weights;
  const auto at_strokes = [&](double a_second) {
    const double counted = demands.strokes_a_second;
    return counted > 0.0 ? hands::counted_at_tempo * a_second / counted : w.fastest_goal;
  };
  const double manageable = manageable_tempo(score, demands);
  result.goal = on_metronome(std::min(manageable, at_strokes(w.goal_strokes)));
  const double start = at_strokes(w.start_strokes.at(static_cast<std::size_t>(result.level - 1)));
  result.start = std::min(result.goal, on_metronome(std::min<double>(start, w.fastest_start)));
  result.ladder = ladder_of(result.start, result.goal);
}

Difficulty difficulty_of(const Score& score) {
  const Demands demands = hands::demands_of(score);
  Difficulty result;
  for (Part& part : parts_of(demands)) {
    result.effort += part.effort;
    result.reasons.push_back(std::move(part.reason));
  }
  result.level = level_of(result.effort);
  result.caution = caution_of(demands);
  find_tempos(score, demands, result);
  return result;
}

}  // namespace

Difficulty difficulty(const Score& score) {
  const hands::Given given = hands::given_by(score);
  if (given.all_placements && given.all_picking_fingers) return difficulty_of(score);
  Score fingered = score;
  finger(fingered, hands::to_complete(score));
  return difficulty_of(fingered);
}

}  // namespace fifthpeg
