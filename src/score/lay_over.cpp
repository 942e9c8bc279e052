#include <algorithm>
#include <iterator>
#include <utility>
#include <vector>

#include "fifthpeg/edit.hpp"
#include "fifthpeg/errors.hpp"
#include "score/cut.hpp"

namespace fifthpeg {
namespace {

// What of one measure is covered.
struct Covered {
  std::size_t measure = 0;
  Fraction from;
  Fraction to;
  std::vector<Stroke> strokes;
};

Place place_over(const Score& score, std::size_t measure, Fraction at) {
  const Measure& there = score.measures[measure];
  return {{}, there.number, beat_at(there, at), 0, -1, 0};
}

std::vector<Covered> covered_by(const Score& score, std::size_t measure, Fraction at,
                                std::vector<Stroke>& strokes) {
  if (strokes.empty() || strokes.back().grace != Grace::none)
    throw UsageError("strokes-do-not-fill", "no strokes are given that end a stretch of time");
  std::vector<Covered> covered;
  Fraction now = at;
  bool opens = true;
  for (Stroke& stroke : strokes) {
    const auto is_over = [&] {
      return measure < score.measures.size() && now >= score.measures[measure].length;
    };
    while (is_over()) {
      now -= score.measures[measure++].length;
      opens = true;
    }
    if (measure >= score.measures.size())
      throw UsageError("no-such-measure", "the score ends before the strokes that are put in do");
    if (opens) covered.push_back({measure, now, now, {}});
    opens = false;
    stroke.onset = now;
    if (stroke.grace == Grace::none) now += stroke.duration;
    if (now > score.measures[measure].length) {
      throw UsageError("stroke-over-barline", "a stroke that is put in would lie over a barline",
                       place_over(score, measure, stroke.onset));
    }
    covered.back().to = now;
    covered.back().strokes.push_back(std::move(stroke));
  }
  return covered;
}

bool is_in_tuplet(const Measure& measure, Fraction at) {
  bool open = false;
  for (const Stroke& stroke : measure.strokes) {
    if (stroke.grace != Grace::none) continue;
    if (stroke.onset >= at) break;
    if (stroke.tuplets.empty()) {
      open = false;
      continue;
    }
    open = !stroke.tuplets.front().stops || stroke.onset + stroke.duration > at;
  }
  return open;
}

void require_whole_tuplets(const Score& score, std::size_t measure, Fraction at) {
  if (!is_in_tuplet(score.measures[measure], at)) return;
  throw UsageError("tuplet-parted", "notes that share their beats, such as a triplet, would be parted",
                   place_over(score, measure, at));
}

// The first stroke at or behind a time; a grace note stands before the stroke at its time.
std::size_t first_from(const Measure& measure, Fraction at) {
  const auto& strokes = measure.strokes;
  const auto found =
      std::find_if(strokes.begin(), strokes.end(), [at](const Stroke& stroke) { return stroke.onset >= at; });
  return static_cast<std::size_t>(found - strokes.begin());
}

// Takes the strokes.
void lay(Measure& measure, Covered& covered) {
  std::vector<Stroke> filled;
  filled.reserve(measure.strokes.size() + covered.strokes.size() + 1);
  auto old = measure.strokes.begin();
  for (; old != measure.strokes.end() && old->onset < covered.from; ++old) {
    filled.push_back(std::move(*old));
  }
  Fraction end = covered.to;  // of what is taken out
  const auto last = std::find_if(filled.rbegin(), filled.rend(),
                                 [](const Stroke& stroke) { return stroke.grace == Grace::none; });
  if (last != filled.rend() && last->onset + last->duration > covered.from) {
    end = std::max(end, last->onset + last->duration);
    last->duration = covered.from - last->onset;
    last->unparted = false;
  }
  std::move(covered.strokes.begin(), covered.strokes.end(), std::back_inserter(filled));
  for (; old != measure.strokes.end() && old->onset < covered.to; ++old) {
    if (old->grace == Grace::none) end = std::max(end, old->onset + old->duration);
  }
  if (end > covered.to) {
    Stroke rest;
    rest.onset = covered.to;
    rest.duration = end - covered.to;
    filled.push_back(std::move(rest));
  }
  std::move(old, measure.strokes.end(), std::back_inserter(filled));
  measure.strokes = std::move(filled);
}

}  // namespace

void lay_over(Score& score, std::size_t measure, Fraction at, std::vector<Stroke> strokes) {
  if (measure >= score.measures.size() || at < 0 || at >= score.measures[measure].length)
    throw UsageError("no-such-measure", "there is no such place in the score");
  std::vector<Covered> covered = covered_by(score, measure, at, strokes);
  const Covered& first = covered.front();
  const Covered& last = covered.back();
  require_whole_tuplets(score, first.measure, first.from);
  require_whole_tuplets(score, last.measure, last.to);
  Score result = score;
  cut(result.measures, first.measure, first_from(result.measures[first.measure], first.from));
  cut(result.measures, last.measure, first_from(result.measures[last.measure], last.to));
  for (Covered& one : covered) lay(result.measures[one.measure], one);
  normalize(result);
  score = std::move(result);
}

}  // namespace fifthpeg
