#include "licks/seams.hpp"

#include <algorithm>
#include <limits>
#include <utility>
#include <vector>

#include "fifthpeg/errors.hpp"
#include "hands/model.hpp"
#include "hands/queries.hpp"
#include "hands/stroke_sequence.hpp"
#include "score/cut.hpp"
#include "score/playing_order.hpp"

namespace fifthpeg::licks {
namespace {

using hands::Event;
using Events = std::vector<Event>;

// So many strokes on either side tell what the hands meet: a roll is back on its first finger after three.
constexpr std::size_t strokes_a_side = 3;
// After so long a wait, in whole notes, the hands have come to rest, and there is no seam.
constexpr float longest_seam = 1.0F;
// What one finger more costs, about (src/hands/costs.hpp).
constexpr std::int64_t one_finger = 20;

// The strokes around the seams.
struct Around {
  Events before;
  Events head;
  Events tail;
  Events after;
};

Around around(const Score& score, const Stretch& lick) {
  const Events line = hands::line_of(score);
  const auto is_before = [&](const Event& event, std::size_t measure, Fraction at) {
    return event.measure != measure ? event.measure < measure : hands::stroke_at(score, event).onset < at;
  };
  const auto begin = std::partition_point(
      line.begin(), line.end(), [&](const Event& event) { return is_before(event, lick.first, lick.from); });
  const auto end = std::partition_point(
      begin, line.end(), [&](const Event& event) { return is_before(event, lick.last, lick.to); });
  const auto most = [](auto from, auto to) {
    return static_cast<std::ptrdiff_t>(
        std::min<std::size_t>(strokes_a_side, static_cast<std::size_t>(to - from)));
  };
  Around found{{begin - most(line.begin(), begin), begin},
               {begin, begin + most(begin, end)},
               {end - most(begin, end), end},
               {end, end + most(end, line.end())}};
  if (!found.head.empty() && found.head.front().wait.wholes > longest_seam) found.before.clear();
  if (!found.after.empty() && found.after.front().wait.wholes > longest_seam) found.after.clear();
  return found;
}

Events together(Events one, const Events& other) {
  one.insert(one.end(), other.begin(), other.end());
  return one;
}

void silence(Stroke& stroke) {
  stroke.notes.clear();
  stroke.lyrics.clear();
  stroke.brush = Brush::none;
  stroke.articulations = {};
}

// These strokes alone, which follow each other, in their measures.
Score excerpt(const Score& score, const Events& events) {
  std::vector<Measure> measures = score.measures;
  cut(measures, events.front().measure, events.front().stroke);
  cut(measures, events.back().measure, events.back().stroke + 1);
  Score part;
  part.banjo = score.banjo;
  for (std::size_t m = events.front().measure; m <= events.back().measure; ++m) {
    Measure& measure = measures[m];
    measure.directions.clear();
    measure.ending.reset();
    measure.repeat_starts = false;
    measure.repeat_times = 0;
    for (std::size_t s = 0; s < measure.strokes.size(); ++s) {
      const bool is_in = std::any_of(events.begin(), events.end(), [&](const Event& event) {
        return event.measure == m && event.stroke == s;
      });
      if (!is_in) silence(measure.strokes[s]);
    }
    std::erase_if(measure.strokes,
                  [](const Stroke& stroke) { return stroke.grace != Grace::none && stroke.is_rest(); });
    part.measures.push_back(std::move(measure));
  }
  const Tempo* tempo = tempos_in_force(score)[events.front().measure];
  auto& tempos = part.measures.front().tempos;
  if (tempo != nullptr && (tempos.empty() || tempos.front().at > 0)) {
    tempos.insert(tempos.begin(), *tempo);
    tempos.front().at = 0;
  }
  return part;
}

std::int64_t finger_alone(Score& part, Style style) {
  HandsOptions options;
  options.transpose = 0;
  options.suggest_slurs = false;
  options.style = style;
  return finger(part, options).cost;
}

std::int64_t cost_of(const Score& score, const Events& events, Style style) {
  if (events.empty()) return 0;
  Score part = excerpt(score, events);
  return finger_alone(part, style);
}

std::optional<int> lowest_stopped(const Score& score, const Events& events) {
  std::optional<int> lowest;
  for (const Event& event : events) {
    for (const Note& note : hands::stroke_at(score, event).notes) {
      if (note.placement && note.placement->fret > 0)
        lowest = std::min<int>(lowest.value_or(std::numeric_limits<int>::max()), note.placement->fret);
    }
  }
  return lowest;
}

Seam seam_between(const Score& score, const Events& one, const Events& other, Style style) {
  if (one.empty() || other.empty()) return {};
  Seam seam;
  seam.cost =
      cost_of(score, together(one, other), style) - cost_of(score, one, style) - cost_of(score, other, style);
  const auto from = lowest_stopped(score, one);
  const auto to = lowest_stopped(score, other);
  if (from && to) seam.shift = *to - *from;
  return seam;
}

// ---- fingered anew -------------------------------------------------------------------------------

void forget_fingers(Stroke& stroke) {
  for (Note& note : stroke.notes) {
    note.finger.reset();
    note.picking_finger.reset();
  }
}

void take_fingers(Stroke& stroke, const Stroke& from) {
  for (std::size_t n = 0; n < stroke.notes.size() && n < from.notes.size(); ++n) {
    stroke.notes[n].finger = from.notes[n].finger;
    stroke.notes[n].picking_finger = from.notes[n].picking_finger;
  }
}

bool has_fingers(const Stroke& stroke) {
  return std::any_of(stroke.notes.begin(), stroke.notes.end(),
                     [](const Note& note) { return note.placement && (note.picking_finger || note.finger); });
}

// What stands at the same place as an event does in the score that a part was taken from.
const Stroke* found_in(const Score& part, std::size_t first, const Event& event, Fraction onset) {
  for (const Stroke& stroke : part.measures[event.measure - first].strokes) {
    if (stroke.grace == Grace::none && stroke.onset == onset && !stroke.is_rest()) return &stroke;
  }
  return nullptr;
}

// Whether fingers were found for a stroke that are better than those that it has.
bool finger_one(Score& score, const Events& events, const Event& free, Style style) {
  const Stroke& now = hands::stroke_at(score, free);
  if (now.grace != Grace::none || !has_fingers(now)) return false;
  Score freed = score;
  forget_fingers(hands::stroke_at(freed, free));
  Score part = excerpt(freed, events);
  std::int64_t kept = std::numeric_limits<std::int64_t>::max();
  try {
    kept = cost_of(score, events, style);
  } catch (const UnplayableError&) {
    kept = std::numeric_limits<std::int64_t>::max();  // then any other way will do
  }
  const std::int64_t found = finger_alone(part, style);
  if (kept - found < one_finger) return false;
  const Stroke* better = found_in(part, events.front().measure, free, now.onset);
  if (better == nullptr) return false;
  Stroke fingered = now;
  take_fingers(fingered, *better);
  if (fingered == now) return false;
  hands::stroke_at(score, free) = std::move(fingered);
  return true;
}

void require_time(const Score& score, const Events& one, const Events& other, Style style) {
  if (one.empty() || other.empty()) return;
  const hands::Model model(score.banjo, {}, style);
  const auto judged = hands::judge_succession(
      hands::stroke_at(score, one.back()), hands::stroke_at(score, other.front()), other.front().wait, model);
  if (!judged.forbidden) return;
  throw UnplayableError("seam-too-fast",
                        "a finger of the picking hand would have to strike again before it can, at the "
                        "lick's seam",
                        hands::place_of(score, other.front()));
}

Style one_style(Style style) {
  return style == Style::automatic ? Style::roll : style;
}

}  // namespace

Seams seams_of(const Score& score, const Stretch& lick, Style style) {
  const Around strokes = around(score, lick);
  return {seam_between(score, strokes.before, strokes.head, one_style(style)),
          seam_between(score, strokes.tail, strokes.after, one_style(style))};
}

Report finger_seams(Score& score, const Stretch& lick, Style asked) {
  const Style style = one_style(asked);
  const Around strokes = around(score, lick);
  Report report;
  const auto finger_side = [&](const Events& events, const Event& free, std::string_view text) {
    if (!finger_one(score, events, free, style)) return;
    report.add(EntryKind::decision, "seam-fingered", text, hands::place_of(score, free));
  };
  if (!strokes.before.empty()) {
    finger_side(together(strokes.before, strokes.head), strokes.before.back(),
                "the stroke before the lick is fingered anew");
  }
  if (!strokes.after.empty()) {
    finger_side(together(strokes.tail, strokes.after), strokes.after.front(),
                "the stroke after the lick is fingered anew");
  }
  require_time(score, strokes.before, strokes.head, style);
  require_time(score, strokes.tail, strokes.after, style);
  return report;
}

}  // namespace fifthpeg::licks
