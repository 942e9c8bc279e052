#include "engraving/stroke_splitter.hpp"

#include <algorithm>

#include "base/wide.hpp"

namespace fifthpeg::engraving {
namespace {

// A printed value longer than this is not made of notes but stated as a duration.
constexpr std::int64_t most_note_units = 64 * value_units;

// Only these can be parted: what stands on the others would be lost on the parts after the first.
bool is_partable(const Stroke& stroke) {
  return !stroke.is_rest() ||
         (stroke.brush == Brush::none && stroke.articulations == Articulations{} && stroke.lyrics.empty());
}

// The product of actual/normal over the levels.
struct Ratio {
  std::int64_t actual = 1;
  std::int64_t normal = 1;
};

Ratio ratio_of(const Stroke& stroke) {
  constexpr std::int64_t limit = std::int64_t{1} << 24;
  Ratio ratio;
  for (const Tuplet& tuplet : stroke.tuplets) {
    if (tuplet.actual < 1 || tuplet.normal < 1) continue;
    ratio.actual *= tuplet.actual;
    ratio.normal *= tuplet.normal;
    if (ratio.actual > limit || ratio.normal > limit) return {0, 1};
  }
  return ratio;
}

class Splitter {
 public:
  Splitter(const Measure& measure, const Grid& grid, const BeatMap& beats, std::vector<Piece>& pieces)
      : measure_(measure), grid_(grid), beats_(beats), pieces_(pieces), dyadic_(grid.whole / value_units) {}

  void run() {
    const std::int64_t length = grid_.ticks(measure_.length);
    Fraction exact_now;
    std::int64_t now = 0;
    for (std::size_t i = 0; i < measure_.strokes.size(); ++i) {
      const Stroke& stroke = measure_.strokes[i];
      if (stroke.grace != Grace::none) {
        add_grace(i, stroke, now);
        continue;
      }
      std::int64_t end = 0;
      if (grid_.exact) {
        end = now + grid_.ticks(stroke.duration);
      } else {
        exact_now += stroke.duration;
        end = grid_.ticks(exact_now);
      }
      // The schema has no durations of 0; only unsound or rounded scores have them.
      end = std::max(end, now + grid_.division_ticks());
      if (end > Grid::longest) throw_too_long();
      add(i, stroke, now, end, length);
      now = end;
    }
  }

 private:
  void add_grace(std::size_t index, const Stroke& stroke, std::int64_t now) {
    Piece piece;
    piece.stroke = index;
    piece.onset = now;
    const Ratio ratio = ratio_of(stroke);
    const base::Wide units = base::Wide{stroke.duration.num()} * value_units * ratio.actual;
    const base::Wide den = base::Wide{stroke.duration.den()} * ratio.normal;
    if (units > 0 && units / den <= most_note_units) {
      const auto whole = static_cast<std::int64_t>(units / den);
      piece.value = units % den == 0 ? single_value(whole) : NoteValue{};
      if (!piece.value) piece.value = longest_value_in(whole);
    }
    pieces_.push_back(piece);
  }

  void add(std::size_t index, const Stroke& stroke, std::int64_t start, std::int64_t end,
           std::int64_t length) {
    const std::size_t first = pieces_.size();
    stroke_ = index;
    rest_ = stroke.is_rest();
    ratio_ = stroke.tuplets.empty() ? Ratio{} : ratio_of(stroke);
    const bool whole_measure = rest_ && stroke.tuplets.empty() && start == 0 && end == length &&
                               measure_.length == measure_.meter.length();
    if (whole_measure || !is_partable(stroke) || ratio_.actual == 0) {
      put(start, end, whole_measure ? NoteValue{} : single_value(units_of(end - start)));
      pieces_.back().measure_rest = whole_measure;
    } else if (!stroke.tuplets.empty() || !is_on_map(end) || start % dyadic_ != 0 || end % dyadic_ != 0) {
      put_greedily(start, end);
    } else if (stroke.unparted && is_single(start, end)) {
      put(start, end, single_value(units_of(end - start)));
    } else {
      by_groups(start + beats_.shift, end + beats_.shift);
      const bool complete = std::all_of(pieces_.begin() + static_cast<std::ptrdiff_t>(first), pieces_.end(),
                                        [](const Piece& piece) { return static_cast<bool>(piece.value); });
      if (!complete) {  // beats part it into something shorter than any value
        pieces_.resize(first);
        put_greedily(start, end);
      }
    }
    for (std::size_t i = first; i < pieces_.size(); ++i) {
      pieces_[i].first = i == first;
      pieces_[i].last = i + 1 == pieces_.size();
    }
  }

  // Whether the beats reach as far: they do up to the length that the measure states.
  bool is_on_map(std::int64_t end) const {
    return beats_.unit != 0 && end + beats_.shift <= beats_.bounds.back();
  }

  // The printed value in value units; 0 where it is no whole number of them, or far too long.
  std::int64_t units_of(std::int64_t ticks) const {
    const base::Wide scaled = base::Wide{ticks} * ratio_.actual;
    const base::Wide unit = base::Wide{dyadic_} * ratio_.normal;
    if (ratio_.actual == 0 || scaled % unit != 0 || scaled / unit > most_note_units) return 0;
    return static_cast<std::int64_t>(scaled / unit);
  }

  bool is_single(std::int64_t start, std::int64_t end) const {
    return static_cast<bool>(single_value(units_of(end - start)));
  }

  void put(std::int64_t start, std::int64_t end, NoteValue value) {
    Piece piece;
    piece.stroke = stroke_;
    piece.onset = start;
    piece.duration = end - start;
    piece.value = value;
    pieces_.push_back(piece);
  }

  // Long values first; all or, where they do not add up, one piece without a value.
  void put_greedily(std::int64_t start, std::int64_t end) {
    std::int64_t left = units_of(end - start);
    if (const NoteValue single = single_value(left); single || left == 0) return put(start, end, single);
    const std::size_t first = pieces_.size();
    std::int64_t now = start;
    while (left > 0) {
      const NoteValue value = longest_value_in(left);
      if (!value) break;
      const std::int64_t units = length_in_units(value);
      const base::Wide scaled = base::Wide{units} * dyadic_ * ratio_.normal;
      const auto ticks = static_cast<std::int64_t>(scaled / ratio_.actual);
      if (scaled % ratio_.actual != 0 || ticks % grid_.division_ticks() != 0) break;
      put(now, now + ticks, value);
      now += ticks;
      left -= units;
    }
    if (left == 0) return;
    pieces_.resize(first);
    put(start, end, {});
  }

  // From here on times are on the time line of the beat map, `shift` later than the measure's.
  void leave(std::int64_t start, std::int64_t end) { put_greedily(start - beats_.shift, end - beats_.shift); }

  void by_groups(std::int64_t start, std::int64_t end) {
    while (start < end) {
      const auto& bounds = beats_.bounds;
      const auto after = std::upper_bound(bounds.begin(), bounds.end(), start);
      if (after == bounds.end() || end <= *after) {
        in_group(*(after - 1), after == bounds.end() ? end : *after, start, end);
        return;
      }
      if (!rest_ && may_cross_groups(start, end)) return leave(start, end);
      const std::int64_t cut = group_cut(start, end);
      if (rest_ || cut == *after) {
        in_group(*(after - 1), *after, start, *after);
        start = *after;
      } else {
        by_groups(start, cut);
        start = cut;
      }
    }
  }

  bool is_bound(std::int64_t at) const {
    return std::binary_search(beats_.bounds.begin(), beats_.bounds.end(), at);
  }
  // The middle of a measure of four dotted beats (12/8); 0 where there is none.
  std::int64_t middle() const { return beats_.bounds.size() == 5 && beats_.compound ? beats_.bounds[2] : 0; }

  bool may_cross_groups(std::int64_t start, std::int64_t end) const {
    const NoteValue value = single_value(units_of(end - start));
    if (!value || value.dots > 1 || !is_bound(start)) return false;
    if (middle() != 0 && start != 0 && start < middle() && middle() < end) return false;
    if (beats_.four_beats) {
      return start % beats_.bar == 0 && end <= start + beats_.bar && end % beats_.unit == 0;
    }
    return is_bound(end);
  }

  // Where a note that may not cross is parted: where its first group ends, or, if it begins with a group,
  // where its last one begins.
  std::int64_t group_cut(std::int64_t start, std::int64_t end) const {
    const auto& bounds = beats_.bounds;
    if (middle() != 0 && start < middle() && middle() < end) return middle();
    if (!is_bound(start)) return *std::upper_bound(bounds.begin(), bounds.end(), start);
    return *(std::lower_bound(bounds.begin(), bounds.end(), end) - 1);
  }

  void in_group(std::int64_t from, std::int64_t to, std::int64_t start, std::int64_t end) {
    const std::int64_t count = (to - from) / beats_.unit;
    if (count == 1 || count == 2 || count == 4) return in_pair(from, to, start, end);
    while (start < end) {
      const std::int64_t index = (start - from) / beats_.unit;
      const std::int64_t unit_end = from + (index + 1) * beats_.unit;
      if (end <= unit_end) return in_pair(unit_end - beats_.unit, unit_end, start, end);
      if (may_cross_units(from, to, start, end)) return leave(start, end);
      std::int64_t cut = unit_end;
      if (!rest_ && (start - from) % beats_.unit == 0)
        cut = from + (end - 1 - from) / beats_.unit * beats_.unit;
      if (cut == unit_end) {
        in_pair(unit_end - beats_.unit, unit_end, start, unit_end);
      } else {
        in_group(from, to, start, cut);
      }
      start = cut;
    }
  }

  // In a group of three or more units.
  bool may_cross_units(std::int64_t from, std::int64_t to, std::int64_t start, std::int64_t end) const {
    if (!is_single(start, end)) return false;
    const bool on_unit = (start - from) % beats_.unit == 0;
    if (rest_) {
      const bool fills = start == from && end == to;
      const bool two_thirds = start == from && end - start == 2 * beats_.unit;
      return (fills || two_thirds) && beats_.compound;
    }
    if (beats_.unit % 2 != 0) return false;
    const std::int64_t half = beats_.unit / 2;
    const bool by_halves = (start - from) % half == 0 && (end - from) % half == 0;
    const std::int64_t crossed = (end - 1 - from) / beats_.unit - (start - from) / beats_.unit;
    return by_halves && (on_unit || crossed == 1);
  }

  // In two equal halves, each of which is two halves again.
  void in_pair(std::int64_t from, std::int64_t to, std::int64_t start, std::int64_t end) {
    const std::int64_t span = to - from;
    const std::int64_t center = from + span / 2;
    if ((start == from && end == to && is_single(start, end)) || span % 4 != 0 ||
        center % grid_.division_ticks() != 0) {
      return leave(start, end);
    }
    if (end <= center) return in_pair(from, center, start, end);
    if (start >= center) return in_pair(center, to, start, end);
    if (is_single(start, end)) {
      const bool by_quarters = (start - from) % (span / 4) == 0 && (end - from) % (span / 4) == 0;
      const bool within_beat = span <= grid_.whole / 4 && start == from;
      if (rest_ ? within_beat : by_quarters) return leave(start, end);
    }
    in_pair(from, center, start, center);
    in_pair(center, to, center, end);
  }

  const Measure& measure_;
  const Grid& grid_;
  const BeatMap& beats_;
  std::vector<Piece>& pieces_;
  const std::int64_t dyadic_;  // ticks of a value unit
  std::size_t stroke_ = 0;
  bool rest_ = false;
  Ratio ratio_;
};

}  // namespace

void split_strokes(const Measure& measure, const Grid& grid, const BeatMap& beats, Engraving& engraving) {
  engraving.pieces.clear();
  Splitter(measure, grid, beats, engraving.pieces).run();
}

}  // namespace fifthpeg::engraving
