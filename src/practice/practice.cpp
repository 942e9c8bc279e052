// practice(): the piece, once for each time that it is played.
#include "fifthpeg/practice.hpp"

#include <algorithm>
#include <cstdint>
#include <string>
#include <utility>

#include "fifthpeg/edit.hpp"
#include "fifthpeg/errors.hpp"
#include "performance/backing.hpp"
#include "performance/beats.hpp"
#include "score/limits.hpp"

namespace fifthpeg {
namespace {

constexpr int most_passes = 1000;
constexpr int most_count_in = 16;

void require_in_range(bool right, const std::string& what) {
  if (!right) throw UsageError(what);
}

void require_possible(const PracticeOptions& options) {
  require_in_range(!options.speeds.empty(), "there must be a speed to practice at");
  for (const int speed : options.speeds) {
    require_in_range(speed >= slowest_practice && speed <= fastest_practice,
                     "a speed is " + std::to_string(slowest_practice) + " to " +
                         std::to_string(fastest_practice) + " percent, not " + std::to_string(speed));
  }
  require_in_range(options.times >= 1 && options.times <= most_passes,
                   "music can be practiced 1 to " + std::to_string(most_passes) + " times");
  require_in_range(options.count_in >= 0 && options.count_in <= most_count_in,
                   "a count-in is 0 to " + std::to_string(most_count_in) + " measures");
}

// The measures between two printed numbers; halves of a split measure share one.
Score measures_in(const Score& score, const MeasureRange& range) {
  const auto& measures = score.measures;
  const auto has = [](const std::string& number) {
    return [&number](const Measure& measure) { return measure.number == number; };
  };
  const auto refuse = [](const std::string& number) {
    throw UsageError("no-such-measure", "there is no measure " + number);
  };
  const auto first = std::find_if(measures.begin(), measures.end(), has(range.first));
  if (first == measures.end()) refuse(range.first);
  const auto last = std::find_if(measures.rbegin(), measures.rend(), has(range.last));
  if (last == measures.rend()) refuse(range.last);
  const auto count = last.base() - first;
  if (count < 1) {
    throw UsageError("no-such-measure", "measure " + range.last + " comes before measure " + range.first);
  }
  return slice(score, static_cast<std::size_t>(first - measures.begin()), static_cast<std::size_t>(count));
}

// Repeats carried out, and each measure with the number that is printed over it.
Score played_out(const Score& score) {
  Score piece = unfolded(score);
  const PlayingOrder order = playing_order(score);
  for (std::size_t i = 0; i < piece.measures.size() && i < order.measures.size(); ++i) {
    piece.measures[i].number = score.measures[order.measures[i]].number;
  }
  return piece;
}

void require_tempo(Score& piece, Report& report) {
  Measure& first = piece.measures.front();
  if (!first.tempos.empty() && first.tempos.front().at == 0) return;
  Tempo tempo;
  tempo.quarters_per_minute = practice_tempo;
  first.tempos.insert(first.tempos.begin(), tempo);
  report.add(EntryKind::decision, "practice-tempo",
             "no tempo is stated at the beginning: 100 % is " + std::to_string(practice_tempo) +
                 " quarter notes a minute");
}

Stroke resting_stroke(Fraction onset, Fraction duration) {
  Stroke stroke;
  stroke.onset = onset;
  stroke.duration = duration;
  return stroke;
}

template <typename Things>
void move_later(Things& things, Fraction by) {
  for (auto& one : things) one.at += by;
}

// A pickup as a whole measure, with rests before it. What holds from its start on holds from the rests on.
Measure as_whole_measure(Measure measure) {
  const Fraction before = counted_before(measure);
  if (before == 0) return measure;
  move_later(measure.key_changes, before);
  move_later(measure.chords, before);
  move_later(measure.directions, before);
  for (Tempo& tempo : measure.tempos) {
    if (tempo.at > 0) tempo.at += before;
  }
  for (Stroke& stroke : measure.strokes) stroke.onset += before;
  measure.strokes.insert(measure.strokes.begin(), resting_stroke(0, before));
  measure.length = measure.meter.length();
  measure.implicit = false;
  return measure;
}

// Of the piece, and of what accompanies it, the passes are put together alike.
class Session {
 public:
  Session(const Score& piece, const PracticeOptions& options) : piece_(piece), options_(options) {}

  Score of(const Score& part, std::vector<Click>* clicks) {
    Score result = part;
    result.measures.clear();
    for (const int speed : options_.speeds) {
      for (int time = 1; time <= options_.times; ++time) {
        const std::size_t first = result.measures.size();
        if (time == 1) count_in(part, result.measures, clicks);
        const std::size_t start = result.measures.size();
        play(part, speed, time, result.measures);
        if (clicks != nullptr) {
          click(result.measures, start, time == 1 && options_.count_in > 0, *clicks);
          result.measures[first].directions.insert(result.measures[first].directions.begin(),
                                                   {0, Direction::Kind::rehearsal, name(speed, time)});
        }
        state_tempo(result.measures, first, speed);
      }
    }
    normalize(result);
    return result;
  }

 private:
  std::string name(int speed, int time) const {
    std::string percent = std::to_string(speed) + " %";
    if (options_.times == 1) return percent;
    return percent + ", " + std::to_string(time) + " of " + std::to_string(options_.times);
  }

  void count_in(const Score& part, std::vector<Measure>& measures, std::vector<Click>* clicks) const {
    const Measure& first = part.measures.front();
    for (int i = 0; i < options_.count_in; ++i) {
      Measure measure;
      measure.number = "0";
      measure.meter = first.meter;
      measure.key = first.key;
      measure.length = first.meter.length();
      measure.strokes.push_back(resting_stroke(0, measure.length));
      if (clicks != nullptr) click_in(measure, measures.size(), measure.length, *clicks);
      measures.push_back(std::move(measure));
    }
  }

  // Whether a pickup follows a last measure that it completes.
  bool closes() const {
    const Measure& first = piece_.measures.front();
    const Measure& last = piece_.measures.back();
    return first.meter == last.meter && last.length + first.length == first.meter.length();
  }

  void play(const Score& part, int speed, int time, std::vector<Measure>& measures) const {
    // A pickup stands by itself at the very beginning, or follows straight on what it completes.
    const bool counted = time == 1 && options_.count_in > 0;
    const bool straight_on = measures.empty() || (!counted && closes());
    for (const Measure& one : part.measures) {
      Measure measure = &one == &part.measures.front() && !straight_on ? as_whole_measure(one) : one;
      for (Tempo& tempo : measure.tempos) tempo.quarters_per_minute *= Fraction(speed, 100);
      measures.push_back(std::move(measure));
    }
  }

  // The tempo of the piece's start from the pass's first measure on.
  void state_tempo(std::vector<Measure>& measures, std::size_t at, int speed) const {
    Tempo tempo = piece_.measures.front().tempos.front();
    tempo.quarters_per_minute *= Fraction(speed, 100);
    auto& tempos = measures[at].tempos;
    if (tempos.empty() || tempos.front().at > 0) tempos.insert(tempos.begin(), tempo);
  }

  void click(const std::vector<Measure>& measures, std::size_t start, bool counted_in,
             std::vector<Click>& clicks) const {
    for (std::size_t m = start; m < measures.size(); ++m) {
      // Before a pickup that is counted in.
      const bool waits = m == start && counted_in;
      const Fraction until = options_.click ? measures[m].length
                             : waits        ? counted_before(piece_.measures.front())
                                            : Fraction(0);
      click_in(measures[m], m, until, clicks);
    }
  }

  static void click_in(const Measure& measure, std::size_t index, Fraction until,
                       std::vector<Click>& clicks) {
    for (const Fraction beat : performance::beats(measure)) {
      if (beat < until) clicks.push_back({index, beat, beat + counted_before(measure) == 0});
    }
  }

  const Score& piece_;
  const PracticeOptions& options_;
};

// Before anything is written out.
void require_length(const Score& score, const PracticeOptions& options) {
  const std::uint64_t once = playing_order(score).measures.size();
  const auto each =
      static_cast<std::uint64_t>(options.count_in) + static_cast<std::uint64_t>(options.times) * once;
  if (each * options.speeds.size() <= most_measures) return;
  throw UsageError("too-long", "that would be more than " + std::to_string(most_measures) + " measures", {},
                   {{}, {}, static_cast<std::int64_t>(most_measures)});
}

}  // namespace

Practice practice(const Score& score, const PracticeOptions& options) {
  require_possible(options);
  Practice result;
  const Score part = options.measures ? measures_in(score, *options.measures) : score;
  require_length(part, options);
  Score piece = played_out(part);
  if (options.swing && !piece.swing) piece.swing = Swing{};
  if (piece.measures.empty()) {
    result.score = std::move(piece);
    return result;
  }
  require_tempo(piece, result.report);
  Session session(piece, options);
  if (options.backing) {
    const bool has_chords = std::any_of(piece.measures.begin(), piece.measures.end(),
                                        [](const Measure& measure) { return !measure.chords.empty(); });
    if (!has_chords) {
      throw UnplayableError("no-chords", "there are no chord symbols for an accompaniment to follow");
    }
    const performance::Backing backing = performance::backing_for(piece, result.report);
    result.backing = {session.of(backing.bass, nullptr), session.of(backing.chords, nullptr)};
  }
  result.score = session.of(piece, &result.clicks);
  return result;
}

std::vector<int> backing_programs() {
  return {32, 25};  // of General MIDI 1, counted from 0
}

}  // namespace fifthpeg
