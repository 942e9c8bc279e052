#include "engraving/find_tuplets.hpp"

#include <algorithm>
#include <numeric>
#include <optional>
#include <tuple>
#include <utility>

#include "fifthpeg/read.hpp"

namespace fifthpeg::engraving {
namespace {

std::int64_t odd_part(std::int64_t value) {
  while (value % 2 == 0) value /= 2;
  return value;
}

class Grouper {
 public:
  Grouper(const std::vector<Stretch>& stretches, const Meter& meter, Fraction length) : meter_(meter) {
    beat_ = divided_beat(meter);
    for (const Stretch& stretch : stretches) {
      borders_.push_back(stretch.from);
      if (stretch.stroke >= 0) continue;
      rests_.push_back({stretch.from, stretch.to});
      end_rest_at_beats(stretch);
    }
    borders_.push_back(length);
    length_ = length;
  }

  std::vector<TupletSpan> run() {
    const bool compound = meter_.is_compound();
    for (Fraction from; from < length_;) {
      // Only spans that hold something that needs a tuplet are looked at.
      const auto odd = std::find_if(borders_.begin() + static_cast<std::ptrdiff_t>(begin_), borders_.end(),
                                    [](Fraction border) { return !is_plain(border); });
      if (odd == borders_.end()) break;
      begin_ = static_cast<std::size_t>(odd - borders_.begin());
      const std::int64_t index = (*odd / beat_).floor();
      const Fraction done = from;
      from = std::max(from, beat_ * index);
      Fraction to = std::min(length_, from + beat_);
      if (const auto inside = compound ? part_of_compound_beat(done, from, to, *odd) : std::nullopt) {
        std::tie(from, to) = *inside;
        divide(from, to, false);
      } else {
        while (!compound && widen(from, to)) {
        }
        divide(from, to, compound);
      }
      from = to;
      begin_ = first_at_or_after(to);
    }
    return std::move(groups_);
  }

 private:
  // A rest is never a reason to widen a group: one that begins or ends inside of a group goes to the
  // nearest beat.
  void end_rest_at_beats(const Stretch& rest) {
    const Fraction first = beat_ * ((rest.from / beat_).floor() + 1);
    const Fraction last = beat_ * (rest.to / beat_).floor();
    if (!is_plain(rest.from) && first < rest.to) borders_.push_back(first);
    if (!is_plain(rest.to) && last > rest.from && last < rest.to && last > borders_.back())
      borders_.push_back(last);
  }

  std::size_t first_at_or_after(Fraction time) const {
    return static_cast<std::size_t>(std::lower_bound(borders_.begin(), borders_.end(), time) -
                                    borders_.begin());
  }
  bool has_border(Fraction time) const {
    const std::size_t i = first_at_or_after(time);
    return i < borders_.size() && borders_[i] == time;
  }

  // Whether something may be cut at a time without a tie.
  bool may_cut(Fraction time) const {
    if (has_border(time)) return true;
    return std::any_of(rests_.begin(), rests_.end(),
                       [&](const Span& rest) { return rest.from < time && time < rest.to; });
  }

  // In a compound meter: the part of the beat [from, to), or the two parts that may reach into the next one,
  // that hold all that is odd from `odd` on. Nothing where the beat as a whole is divided.
  std::optional<std::pair<Fraction, Fraction>> part_of_compound_beat(Fraction done, Fraction from,
                                                                     Fraction to, Fraction odd) const {
    if (odd_part(parts(from, to)) % 3 != 0) return std::nullopt;
    const Fraction part = beat_ / 3;
    const Fraction first = part * (odd / part).floor();
    for (const auto& [begin, end] : {std::pair(first, first + part), std::pair(first, first + part * 2),
                                     std::pair(first - part, first + part)}) {
      if (begin < done || end > length_ || !may_cut(begin) || !may_cut(end)) continue;
      const std::int64_t needed = parts(begin, end);
      if (odd_part(needed) > 1 && needed <= 8 * odd_part(needed)) return std::pair(begin, end);
    }
    return std::nullopt;
  }

  // The parts of equal length that [from, to) must be divided into.
  std::int64_t parts(Fraction from, Fraction to) const {
    std::int64_t result = 1;
    for (std::size_t i = first_at_or_after(from); i < borders_.size() && borders_[i] < to; ++i) {
      result = std::lcm(result, ((borders_[i] - from) / (to - from)).den());
    }
    return result;
  }

  // Takes in the next span of the same length, if a note crosses into it and both together are divided
  // into one odd number of parts that is no multiple of two: quarter triplets over two beats.
  bool widen(Fraction from, Fraction& to) const {
    const Fraction span = to - from;
    const Fraction wider = to + span;
    if (wider > length_ || has_border(to) || span >= Fraction(1, 2)) return false;
    const std::int64_t together = parts(from, wider);
    if (odd_part(together) == 1 || together > 8 * odd_part(together)) return false;
    if (odd_part(parts(from, to)) == 1 || together > parts(from, to)) return false;
    to = wider;
    return true;
  }

  void divide(Fraction from, Fraction to, bool compound) {
    const std::int64_t needed = parts(from, to);
    const Fraction span = to - from;
    if (is_plain(span / needed) && is_plain(from)) return;
    // Into halves, or the three parts of a compound beat, if nothing crosses from one into the other.
    const std::int64_t split = compound ? 3 : 2;
    if (span > Fraction(1, 16) && odd_part(span.num()) == (compound ? 3 : 1)) {
      bool clear = true;
      for (std::int64_t i = 1; i < split; ++i) clear = clear && has_border(from + span * Fraction(i, split));
      if (clear) {
        for (std::int64_t i = 0; i < split; ++i) {
          divide(from + span * Fraction(i, split), from + span * Fraction(i + 1, split), false);
        }
        return;
      }
    }
    // Printed lengths are length * actual / normal: `actual` takes the odd factor out.
    const std::int64_t span_odd = odd_part(span.num());
    std::int64_t actual = odd_part(needed);
    if (actual == 1) actual = odd_part((span / needed).den());
    std::int64_t normal = span_odd;  // 3 in a compound beat
    while (normal * 2 < actual) normal *= 2;
    if (normal == actual) normal = std::max<std::int64_t>(1, normal / 2);
    groups_.push_back({from, to, static_cast<std::int16_t>(actual), static_cast<std::int16_t>(normal)});
  }

  struct Span {
    Fraction from;
    Fraction to;
  };

  const Meter& meter_;
  Fraction length_;
  Fraction beat_;
  std::vector<Span> rests_;
  std::vector<Fraction> borders_;
  std::vector<TupletSpan> groups_;
  std::size_t begin_ = 0;
};

}  // namespace
}  // namespace fifthpeg::engraving

namespace fifthpeg {

bool is_grid_step(Fraction step) {
  constexpr std::int64_t finest = 512;
  if (step.num() != 1 || step.den() > finest) return false;
  const std::int64_t odd = engraving::odd_part(step.den());
  if (odd == 1) return true;
  if (odd != 3 && odd != 5 && odd != 7 && odd != 9) return false;
  return step.den() >= (odd == 3 ? 6 : 4 * odd);
}

}  // namespace fifthpeg

namespace fifthpeg::engraving {

bool is_plain(Fraction time) {
  return (time.den() & (time.den() - 1)) == 0;
}

Fraction divided_beat(const Meter& meter) {
  const Fraction beat = meter.beat();
  return !meter.is_compound() && beat > Fraction(1, 4) ? Fraction(1, 4) : beat;
}

std::vector<TupletSpan> find_tuplets(const std::vector<Stretch>& stretches, const Meter& meter,
                                     Fraction length) {
  const bool plain = std::all_of(stretches.begin(), stretches.end(), [](const Stretch& stretch) {
    return is_plain(stretch.from) && is_plain(stretch.to);
  });
  if (plain) return {};
  return Grouper(stretches, meter, length).run();
}

void cut_at_groups(std::vector<Stretch>& stretches, const std::vector<TupletSpan>& groups) {
  if (groups.empty()) return;
  std::vector<Stretch> result;
  std::size_t next = 0;  // border: group next/2, its end if odd
  const auto border = [&] { return next % 2 == 0 ? groups[next / 2].from : groups[next / 2].to; };
  for (Stretch stretch : stretches) {
    while (next < 2 * groups.size() && border() <= stretch.from) ++next;
    while (next < 2 * groups.size() && border() < stretch.to) {
      Stretch head = stretch;
      head.to = border();
      head.is_continued = stretch.stroke >= 0;
      result.push_back(head);
      stretch.from = head.to;
      stretch.goes_on = stretch.stroke >= 0;
      ++next;
      while (next < 2 * groups.size() && border() <= stretch.from) ++next;
    }
    result.push_back(stretch);
  }
  stretches = std::move(result);
}

}  // namespace fifthpeg::engraving
