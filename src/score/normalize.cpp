#include <algorithm>
#include <tuple>

#include "fifthpeg/score.hpp"
#include "score/ties.hpp"

namespace fifthpeg {
namespace {

// Most things come in order already, and sorting takes memory even to find that out.
template <typename Thing, typename Before>
void sort_where_needed(std::vector<Thing>& things, Before before) {
  if (std::is_sorted(things.begin(), things.end(), before)) return;
  std::stable_sort(things.begin(), things.end(), before);
}

template <typename Positioned>
void sort_by_position(std::vector<Positioned>& things) {
  sort_where_needed(things, [](const Positioned& a, const Positioned& b) { return a.at < b.at; });
}

// Highest first; equal pitches by string, then by spelling, so that the order never depends on the source.
bool note_before(const Note& a, const Note& b) {
  const auto rank = [](const Note& note) {
    return std::tuple(-note.pitch.midi(), note.placement ? note.placement->string : std::int8_t{9},
                      static_cast<int>(note.pitch.step));
  };
  return rank(a) < rank(b);
}

bool same_level(const Tuplet& a, const Tuplet& b) {
  return a.actual == b.actual && a.normal == b.normal;
}

bool same_ratios(const Stroke& a, const Stroke& b) {
  return std::equal(a.tuplets.begin(), a.tuplets.end(), b.tuplets.begin(), b.tuplets.end(), same_level);
}

// Whether no tuplet group ends after `a` or begins before `b`.
bool in_one_group(const Stroke& a, const Stroke& b) {
  return same_ratios(a, b) &&
         std::none_of(a.tuplets.begin(), a.tuplets.end(), [](const Tuplet& t) { return t.stops; }) &&
         std::none_of(b.tuplets.begin(), b.tuplets.end(), [](const Tuplet& t) { return t.starts; });
}

void take_over_group_end(Stroke& a, const Stroke& b) {
  for (std::size_t level = 0; level < a.tuplets.size(); ++level) {
    a.tuplets[level].stops = a.tuplets[level].stops || b.tuplets[level].stops;
  }
}

// Whether `b` only goes on with what `a` struck.
bool is_continuation(const Stroke& a, const Stroke& b) {
  if (a.grace != Grace::none || b.grace != Grace::none || a.notes.size() != b.notes.size()) return false;
  if (b.brush != Brush::none || b.articulations != Articulations{} || !b.lyrics.empty()) return false;
  if (!in_one_group(a, b)) return false;
  for (std::size_t i = 0; i < a.notes.size(); ++i) {
    const Note& from = a.notes[i];
    const Note& to = b.notes[i];
    if (!from.tied_to_next || !to.tied_from_previous || !can_be_tied(from, to)) return false;
    if (from.out_of != Technique::none || to.into != Technique::none) return false;
    if (from.ring != Ring::natural || (to.choke && to.choke != from.choke)) return false;
  }
  return true;
}

bool is_plain_rest(const Stroke& stroke) {
  return stroke.is_rest() && stroke.grace == Grace::none && stroke.brush == Brush::none &&
         stroke.articulations == Articulations{} && stroke.lyrics.empty();
}

void join(Stroke& a, const Stroke& b) {
  a.duration += b.duration;
  a.unparted = false;
  take_over_group_end(a, b);
  for (std::size_t i = 0; i < a.notes.size(); ++i) {
    a.notes[i].tied_to_next = b.notes[i].tied_to_next;
    a.notes[i].out_of = b.notes[i].out_of;
    a.notes[i].ring = b.notes[i].ring;
    if (!a.notes[i].placement) a.notes[i].placement = b.notes[i].placement;
  }
}

void join_strokes(std::vector<Stroke>& strokes) {
  std::size_t kept = 0;
  for (std::size_t i = 0; i < strokes.size(); ++i) {
    if (kept > 0) {
      Stroke& last = strokes[kept - 1];
      const bool rests = is_plain_rest(last) && is_plain_rest(strokes[i]) && in_one_group(last, strokes[i]);
      if (rests || (!last.is_rest() && is_continuation(last, strokes[i]))) {
        join(last, strokes[i]);
        continue;
      }
    }
    if (kept != i) strokes[kept] = std::move(strokes[i]);
    ++kept;
  }
  strokes.resize(kept);
}

void drop_repeated_tempos(Score& score) {
  const Tempo* in_force = nullptr;
  Tempo last;
  for (Measure& measure : score.measures) {
    std::erase_if(measure.tempos, [&](const Tempo& tempo) {
      const bool same = in_force != nullptr && last.quarters_per_minute == tempo.quarters_per_minute &&
                        last.beat_unit == tempo.beat_unit && tempo.words.empty();
      if (!same) {
        last = tempo;
        in_force = &last;
      }
      return same;
    });
  }
}

void drop_repeated_keys(Measure& measure) {
  Key in_force = measure.key;
  std::erase_if(measure.key_changes, [&](const KeyChange& change) {
    const bool same = change.key == in_force;
    in_force = change.key;
    return same;
  });
}

void name_open_strings(Stroke& stroke) {
  for (Note& note : stroke.notes)
    if (!note.finger && note.placement && note.placement->fret == 0 && !note.dead)
      note.finger = FretFinger::open;
}

// A bracket begins where none is open, or one of other numbers, and ends before a measure that has none.
void settle_endings(Score& score) {
  Ending* open = nullptr;
  for (Measure& measure : score.measures) {
    if (measure.ending) {
      const bool goes_on = open != nullptr && open->numbers == measure.ending->numbers;
      measure.ending->starts = measure.ending->starts || !goes_on;
    } else if (open != nullptr) {
      open->stop = Ending::Stop::open;
    }
    open = measure.ending && measure.ending->stop == Ending::Stop::none ? &*measure.ending : nullptr;
  }
}

}  // namespace

void normalize(Score& score) {
  for (Measure& measure : score.measures) {
    if (measure.repeat_times > 0) measure.right_bar = BarStyle::regular;
    sort_by_position(measure.tempos);
    sort_by_position(measure.key_changes);
    sort_by_position(measure.chords);
    sort_by_position(measure.directions);
    sort_where_needed(measure.strokes, [](const Stroke& a, const Stroke& b) { return a.onset < b.onset; });
    for (Stroke& stroke : measure.strokes) sort_where_needed(stroke.notes, note_before);
    drop_repeated_keys(measure);
  }
  settle_endings(score);
  drop_loose_ties(score);
  for (Measure& measure : score.measures) {
    join_strokes(measure.strokes);
    for (Stroke& stroke : measure.strokes) name_open_strings(stroke);
  }
  drop_repeated_tempos(score);
}

}  // namespace fifthpeg
