#include "arrange/finish.hpp"

#include <algorithm>
#include <map>
#include <tuple>
#include <utility>

#include "arrange/backup.hpp"
#include "arrange/breaks.hpp"
#include "arrange/ending.hpp"
#include "arrange/kick_off.hpp"
#include "score/playing_order.hpp"

namespace fifthpeg::arranging {
namespace {

// ---- reasons ---------------------------------------------------------------------------------------

// A stroke, wherever others come or go: its measure, its onset, and which it is of those there.
using StrokeKey = std::tuple<std::size_t, Fraction, int>;

template <class Of>
void for_each_sounding(const Score& score, const Of& of) {
  for (std::size_t m = 0; m < score.measures.size(); ++m) {
    Fraction last(-1);
    int which = 0;
    for (std::size_t s = 0; s < score.measures[m].strokes.size(); ++s) {
      const Stroke& stroke = score.measures[m].strokes[s];
      if (stroke.is_rest()) continue;
      which = stroke.onset == last ? which + 1 : 0;
      last = stroke.onset;
      of(StrokeKey{m, stroke.onset, which}, s, stroke);
    }
  }
}

class Reasons {
 public:
  void add(const Break& one, std::size_t first_measure) {
    std::size_t next = 0;
    for_each_sounding(one.score, [&](StrokeKey key, std::size_t, const Stroke&) {
      if (next == one.reasons.size()) return;
      std::get<0>(key) += first_measure;
      texts_[key] = one.reasons[next++];
    });
  }

  // Of a score in which the breaks begin with this measure.
  std::vector<Reason> in(const Score& score, std::size_t first_measure) const {
    std::vector<Reason> reasons;
    if (texts_.empty()) return reasons;
    for_each_sounding(score, [&](StrokeKey key, std::size_t s, const Stroke& stroke) {
      const std::size_t measure = std::get<0>(key);
      const Role role = stroke.notes.front().role;
      std::string text = role == Role::kick_off ? "leads into the tune" : "closing tag";
      if (role != Role::kick_off && measure >= first_measure) {
        std::get<0>(key) -= first_measure;
        const auto known = texts_.find(key);
        if (known != texts_.end()) text = known->second;
      }
      reasons.push_back({measure, s, std::move(text)});
    });
    return reasons;
  }

 private:
  std::map<StrokeKey, std::string> texts_;
};

// ---- before and behind -------------------------------------------------------------------------------

void put_before(Score& score, Measure measure) {
  state_beginning(score);
  Measure& first = score.measures.front();
  const auto at_once = [](const Tempo& tempo) { return tempo.at == 0; };
  std::copy_if(first.tempos.begin(), first.tempos.end(), std::back_inserter(measure.tempos), at_once);
  std::erase_if(first.tempos, at_once);
  score.measures.insert(score.measures.begin(), std::move(measure));
  count_measures(score.measures);
  normalize(score);
}

Measure silent(Measure measure) {
  Stroke rest;
  rest.duration = measure.length;
  measure.strokes.assign(1, rest);
  return measure;
}

// Whether something was put before the arrangement.
bool kick_off(Arrangement& arrangement, const Key& key) {
  const auto measure = kick_off_for(arrangement.score, key);
  if (!measure) {
    arrangement.report.add(EntryKind::decision, "no-kick-off",
                           "no kick-off is added: the tune begins with a pickup of its own, or with a rest");
    return false;
  }
  if (arrangement.backup) put_before(*arrangement.backup, silent(*measure));
  put_before(arrangement.score, *measure);
  for (MelodyNote& note : arrangement.melody) note.at += measure->length;
  return true;
}

bool end_with_tag(Arrangement& arrangement, const Key& key, Style style) {
  if (!add_tag(arrangement.score, key, style == Style::roll)) {
    arrangement.report.add(EntryKind::decision, "no-ending",
                           "no ending is added: the music ends elsewhere than in its last measure");
    return false;
  }
  if (arrangement.backup) end_with(*arrangement.backup, arrangement.score);
  return true;
}

void find_fingers(Score& score, Style style, Report& report) {
  HandsOptions hands;
  hands.style = style;
  hands.transpose = 0;
  hands.suggest_slurs = false;
  report.merge(finger(score, hands).report);
  report.erase("fingering-kept");
}

bool has_all_fingers(const Score& score) {
  return std::all_of(score.measures.begin(), score.measures.end(), [](const Measure& measure) {
    return std::all_of(measure.strokes.begin(), measure.strokes.end(), [](const Stroke& stroke) {
      return std::all_of(stroke.notes.begin(), stroke.notes.end(),
                         [](const Note& note) { return note.finger.has_value(); });
    });
  });
}

// The breaks one after the other; where each begins in `starts`.
Score in_a_row(std::vector<Break>& breaks, Fraction room, std::vector<Fraction>& starts) {
  Fraction length;
  for (const Measure& measure : breaks.front().score.measures) length += measure.length;
  std::vector<Score> scores;
  scores.reserve(breaks.size());
  for (Break& one : breaks) {
    starts.push_back((length - room) * Fraction(static_cast<std::int64_t>(scores.size())));
    scores.push_back(std::move(one.score));
  }
  if (scores.size() == 1) return std::move(scores.front());
  // Who picks the last note of a break depends on what follows.
  for (Score& score : scores) {
    Measure& last = score.measures.back();
    for (Note& note : last.strokes.back().notes) note.picking_finger.reset();
  }
  return joined(std::move(scores), room);
}

}  // namespace

Arrangement finished(std::vector<Break> breaks, const Tune& tune, const ArrangeOptions& options) {
  Arrangement result;
  const std::size_t measures = tune.score.measures.size();
  const std::size_t count = breaks.size();
  const Fraction room = count > 1 ? room_for_pickup(tune.score) : Fraction();
  Reasons reasons;
  for (std::size_t b = 0; b < count; ++b) reasons.add(breaks[b], b * measures);
  std::vector<Fraction> starts;
  result.score = in_a_row(breaks, room, starts);
  for (std::size_t b = 0; b < count; ++b) {
    for (MelodyNote& note : breaks[b].melody) {
      note.at += starts[b];
      result.melody.push_back(note);
    }
  }
  if (options.backup) {
    result.backup = backup_of(tune.score, tune.inferred, options.level);
    if (count > 1) result.backup = joined(std::vector<Score>(count, *result.backup), room);
  }
  const bool before = options.kick_off && kick_off(result, tune.key);
  if (options.ending) end_with_tag(result, tune.key, options.style);
  if (!has_all_fingers(result.score) || count > 1) find_fingers(result.score, options.style, result.report);
  Report of_backup;
  if (result.backup) find_fingers(*result.backup, Style::roll, of_backup);
  result.reasons = reasons.in(result.score, before ? 1 : 0);
  return result;
}

}  // namespace fifthpeg::arranging
