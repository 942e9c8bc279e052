#include "fifthpeg/edit.hpp"

#include <algorithm>
#include <array>
#include <iterator>
#include <optional>
#include <string>
#include <utility>

#include "fifthpeg/errors.hpp"
#include "score/cut.hpp"
#include "score/playing_order.hpp"

namespace fifthpeg {
namespace {

using Measures = std::vector<Measure>;

template <typename Things>
auto nth(Things& things, std::size_t index) {
  return std::next(things.begin(), static_cast<std::ptrdiff_t>(index));
}

void require(bool holds, const char* code, const char* what) {
  if (!holds) throw UsageError(code, what);
}
void require_measures(const Score& score, std::size_t first, std::size_t count) {
  require(first <= score.measures.size() && count <= score.measures.size() - first, "no-such-measure",
          "there are not so many measures in the score");
}

// ---- repeats and jumps ---------------------------------------------------------------------------

// The measures that one repeat sign with its endings plays again.
struct Repeat {
  std::size_t first = 0;
  std::size_t end = 0;
};

std::vector<Repeat> repeats_of(const Measures& measures) {
  std::vector<Repeat> repeats;
  std::size_t first = 0;
  for (std::size_t i = 0; i < measures.size(); ++i) {
    if (measures[i].repeat_starts) first = i;
    if (measures[i].repeat_times == 0) continue;
    while (i + 1 < measures.size() && measures[i + 1].ending && !measures[i + 1].repeat_starts) ++i;
    repeats.push_back({first, i + 1});
    first = i + 1;
  }
  return repeats;
}

bool has_signs(const Measure& measure) {
  return measure.repeat_starts || measure.repeat_times > 0 || measure.ending;
}

void clear_signs(Measures& measures, const Repeat& repeat) {
  for (std::size_t i = repeat.first; i < repeat.end; ++i) {
    measures[i].repeat_starts = false;
    measures[i].repeat_times = 0;
    measures[i].ending.reset();
  }
}

std::size_t jumps_in(const Measures& measures, std::size_t first, std::size_t end) {
  std::size_t count = 0;
  for (std::size_t i = first; i < end; ++i) {
    count += static_cast<std::size_t>(
        std::count_if(measures[i].directions.begin(), measures[i].directions.end(), is_jump));
  }
  return count;
}

void clear_jumps(Measures& measures) {
  for (Measure& measure : measures) std::erase_if(measure.directions, is_jump);
}

// Whether all of the measures are reached: a jump may lead past them.
bool is_played(const Score& score, std::size_t first, std::size_t end) {
  std::vector<bool> played(score.measures.size(), false);
  for (const std::size_t index : playing_order(score).measures) played[index] = true;
  return std::all_of(nth(played, first), nth(played, end), [](bool one) { return one; });
}

// A bracket that begins or ends at a cut, and a repeat that begins where it never ends.
void close_ends(Measures& measures) {
  if (measures.empty()) return;
  if (auto& ending = measures.front().ending) ending->starts = true;
  if (auto& ending = measures.back().ending; ending && ending->stop == Ending::Stop::none) {
    ending->stop = Ending::Stop::open;
  }
  const auto repeats = repeats_of(measures);
  for (std::size_t i = repeats.empty() ? 0 : repeats.back().end; i < measures.size(); ++i) {
    measures[i].repeat_starts = false;
  }
}

// ---- what is in force ----------------------------------------------------------------------------

struct InForce {
  std::optional<Tempo> tempo;
  std::optional<ChordSymbol> chord;
};

InForce in_force(const Measures& measures, std::size_t end) {
  InForce result;
  for (std::size_t i = end; i-- > 0 && !(result.tempo && result.chord);) {
    if (!result.tempo && !measures[i].tempos.empty()) result.tempo = measures[i].tempos.back();
    if (!result.chord && !measures[i].chords.empty()) result.chord = measures[i].chords.back();
  }
  if (result.tempo) {
    result.tempo->at = 0;
    result.tempo->words.clear();
  }
  if (result.chord) result.chord->at = 0;
  return result;
}

// Nothing is stated twice: normalize() drops tempos that repeat what is in force.
void state(Measure& measure, const InForce& before, const InForce& wanted) {
  const auto& tempos = measure.tempos;
  if (wanted.tempo && (tempos.empty() || tempos.front().at != 0)) {
    measure.tempos.insert(measure.tempos.begin(), *wanted.tempo);
  }
  const auto& chords = measure.chords;
  if (wanted.chord && wanted.chord != before.chord && (chords.empty() || chords.front().at != 0)) {
    measure.chords.insert(measure.chords.begin(), *wanted.chord);
  }
}

// ---- numbers -------------------------------------------------------------------------------------

bool is_counted(const Measures& measures) {
  Measures numbered = measures;
  count_measures(numbered);
  return numbered == measures;
}

}  // namespace

Score slice(const Score& score, std::size_t first, std::size_t count) {
  require_measures(score, first, count);
  const std::size_t end = first + count;
  Score result = score;
  Measures& measures = result.measures;
  cut(measures, first);
  cut(measures, end);
  for (const Repeat& repeat : repeats_of(measures)) {
    if (repeat.first < first || repeat.end > end) clear_signs(measures, repeat);
  }
  const bool jumps_are_whole = jumps_in(measures, first, end) == jumps_in(measures, 0, measures.size());
  const InForce before = in_force(measures, first);
  measures.erase(nth(measures, end), measures.end());
  measures.erase(measures.begin(), nth(measures, first));
  if (!jumps_are_whole) clear_jumps(measures);
  close_ends(measures);
  if (!measures.empty()) state(measures.front(), {}, before);
  normalize(result);
  return result;
}

Report splice(Score& score, std::size_t at, const Score& piece, std::size_t replaced) {
  require_measures(score, at, replaced);
  Score result = score;
  Score inserted = piece;
  Report report =
      set_up(inserted, {score.banjo.tuning, score.banjo.capo, score.banjo.fifth_capo, score.banjo.frets, {}});
  Measures& measures = result.measures;
  const std::size_t end = at + replaced;
  const bool was_counted = is_counted(measures);
  cut(measures, at);
  cut(measures, end);
  const bool piece_repeats = std::any_of(inserted.measures.begin(), inserted.measures.end(), has_signs);
  for (const Repeat& repeat : repeats_of(measures)) {
    const bool apart = repeat.end <= at || repeat.first >= end;
    const bool around = repeat.first < at && repeat.end > end && !piece_repeats &&
                        std::none_of(nth(measures, at), nth(measures, end), has_signs) &&
                        !measures[end].ending;
    if (!apart && !around) clear_signs(measures, repeat);
  }
  // The signs of one piece are not those of another.
  const std::size_t jumps = jumps_in(measures, 0, measures.size());
  const std::size_t jumps_replaced = jumps_in(measures, at, end);
  if (jumps_replaced != jumps && jumps_replaced != 0) clear_jumps(measures);
  if (jumps_replaced == 0 || jumps_replaced != jumps) clear_jumps(inserted.measures);

  const InForce after = in_force(measures, end);
  const auto place = measures.erase(nth(measures, at), nth(measures, end));
  measures.insert(place, inserted.measures.begin(), inserted.measures.end());
  const std::size_t next = at + inserted.measures.size();
  if (next < measures.size()) state(measures[next], in_force(measures, next), after);
  close_ends(measures);
  if (!is_played(result, at, next)) clear_jumps(measures);
  if (was_counted) count_measures(measures);
  normalize(result);
  score = std::move(result);
  return report;
}

void replace_stroke(Score& score, std::size_t measure, std::size_t stroke, std::vector<Stroke> strokes) {
  require_measures(score, measure, 1);
  Score result = score;
  auto& line = result.measures[measure].strokes;
  require(stroke < line.size() && line[stroke].grace == Grace::none, "no-such-stroke",
          "there is no such stroke in the measure, or it is grace and has no time");
  const Stroke& old = line[stroke];
  Fraction now = old.onset;
  for (Stroke& one : strokes) {
    one.onset = now;
    if (one.grace == Grace::none) now += one.duration;
  }
  require(!strokes.empty() && strokes.back().grace == Grace::none && now == old.onset + old.duration,
          "strokes-do-not-fill", "the strokes do not fill the time of the one that they replace");
  for (Stroke& one : strokes) {
    if (one.grace != Grace::none || !one.tuplets.empty()) continue;
    one.tuplets = old.tuplets;
    for (Tuplet& tuplet : one.tuplets) {
      tuplet.starts = tuplet.starts && &one == &strokes.front();
      tuplet.stops = tuplet.stops && &one == &strokes.back();
    }
  }
  cut(result.measures, measure, stroke);
  cut(result.measures, measure, stroke + 1);
  const auto place = line.erase(nth(line, stroke));
  line.insert(place, std::make_move_iterator(strokes.begin()), std::make_move_iterator(strokes.end()));
  normalize(result);
  score = std::move(result);
}

void refill(Score& score, std::size_t index) {
  require_measures(score, index, 1);
  Score result = score;
  Measure& measure = result.measures[index];
  const Fraction length = measure.length;
  const auto beyond = [&](const auto& thing) { return thing.at > length; };
  std::erase_if(measure.tempos, beyond);
  std::erase_if(measure.key_changes, beyond);
  std::erase_if(measure.chords, beyond);
  std::erase_if(measure.directions, beyond);
  std::stable_sort(measure.strokes.begin(), measure.strokes.end(),
                   [](const Stroke& a, const Stroke& b) { return a.onset < b.onset; });
  std::vector<Stroke> filled;
  std::optional<std::size_t> last;  // that is not grace
  Fraction now;
  const auto rest_until = [&](Fraction end) {
    if (end <= now) return;
    Stroke rest;
    rest.onset = now;
    rest.duration = end - now;
    if (last) rest.tuplets = filled[*last].tuplets;
    const bool in_group = std::none_of(rest.tuplets.begin(), rest.tuplets.end(),
                                       [](const Tuplet& tuplet) { return tuplet.stops; });
    if (!in_group) rest.tuplets.clear();
    for (Tuplet& tuplet : rest.tuplets) tuplet.starts = false;
    now = end;
    filled.push_back(std::move(rest));
  };
  for (Stroke& stroke : measure.strokes) {
    if (stroke.onset < 0 || stroke.onset > length) continue;
    const bool is_grace = stroke.grace != Grace::none;
    if (!is_grace && (stroke.onset == length || stroke.duration <= 0)) continue;
    if (stroke.onset < now) {
      if (!last || filled[*last].onset >= stroke.onset) continue;  // at the same time as another
      filled[*last].duration = stroke.onset - filled[*last].onset;
      filled[*last].tuplets.clear();
      now = stroke.onset;
    }
    rest_until(stroke.onset);
    if (!is_grace) {
      if (stroke.onset + stroke.duration > length) {
        stroke.duration = length - stroke.onset;
        stroke.tuplets.clear();
      }
      now = stroke.onset + stroke.duration;
      last = filled.size();
    }
    filled.push_back(std::move(stroke));
  }
  rest_until(length);
  measure.strokes = std::move(filled);
  normalize(result);
  score = std::move(result);
}

void state_key(Score& score, Key key) {
  if (key.mode == Mode::none) key.mode = Mode::major;
  for (Measure& measure : score.measures) {
    measure.key = key;
    measure.key_changes.clear();
    for (Stroke& stroke : measure.strokes)
      for (Note& note : stroke.notes) note.pitch = spell(note.pitch.midi(), key);
  }
  score.key_estimated = false;
}

std::size_t state_one_tempo(Score& score, const Tempo& tempo) {
  if (score.measures.empty()) return 0;
  std::size_t changes = 0;
  for (Measure& measure : score.measures) {
    changes += measure.tempos.size();
    measure.tempos.clear();
  }
  score.measures.front().tempos = {tempo};
  return changes;
}

}  // namespace fifthpeg
