#include <algorithm>
#include <iterator>

#include "formats/musicxml/reader/groups.hpp"

namespace fifthpeg::musicxml::reader {
namespace {

constexpr std::size_t most_levels = 6;

bool is_power_of_two(std::int64_t value) {
  return (value & (value - 1)) == 0;
}

struct Level {
  int number = 1;
  int actual = 3;
  int normal = 2;
  bool started = false;  // its start has been put into a span
  bool inferred = false;
  Fraction length;    // of what an inferred group holds so far
  Fraction smallest;  // printed value in it
};

// The tuplets of one voice, followed from note to note.
class Follower {
 public:
  // `spans` are those of the measure the note stands in.
  void next(const RawNote& raw, std::vector<TupletSpan>& spans) {
    const Fraction ratio(raw.actual, raw.normal);
    if (raw.actual == raw.normal) {  // no tuplet, whatever brackets there are
      if (!levels_.empty()) close_all(spans);
      return;
    }
    open(raw, ratio);
    if (levels_.empty() || (levels_.front().inferred && product() != ratio)) {
      close_all(spans);
      Level level;
      level.actual = raw.actual;
      level.normal = raw.normal;
      level.inferred = true;
      level.smallest = printed(raw);
      levels_.push_back(level);
    }
    if (product() != ratio) {
      // Brackets that say something else than the durations: a level of its own, without ends.
      put(spans, raw, 0,
          {static_cast<std::int16_t>(raw.actual), static_cast<std::int16_t>(raw.normal), false, false});
    } else {
      for (std::size_t i = 0; i < levels_.size(); ++i) {
        Level& level = levels_[i];
        put(spans, raw, i,
            {static_cast<std::int16_t>(level.actual), static_cast<std::int16_t>(level.normal), !level.started,
             false});
        level.started = true;
      }
    }
    close(raw, spans);
  }

  // A measure has ended: what was inferred does not go on over the barline.
  void barline(std::vector<TupletSpan>& spans) {
    if (!levels_.empty() && levels_.front().inferred) close_all(spans);
    last_.assign(most_levels, none);
  }

 private:
  static constexpr std::size_t none = static_cast<std::size_t>(-1);

  static Fraction printed(const RawNote& raw) {
    return raw.printed > 0 ? raw.printed : raw.duration * Fraction(raw.actual, raw.normal);
  }

  Fraction product() const {
    Fraction result(1);
    for (const Level& level : levels_) result *= Fraction(level.actual, level.normal);
    return result;
  }

  void open(const RawNote& raw, Fraction ratio) {
    std::vector<Mark> starts;
    std::copy_if(raw.marks.begin(), raw.marks.end(), std::back_inserter(starts),
                 [](const Mark& mark) { return mark.kind == Mark::Kind::tuplet && mark.start; });
    std::stable_sort(starts.begin(), starts.end(),
                     [](const Mark& a, const Mark& b) { return a.number < b.number; });
    for (const Mark& mark : starts) {
      if (!levels_.empty() && levels_.front().inferred) levels_.clear();
      if (levels_.size() == most_levels) return;
      Level level;
      level.number = mark.number;
      level.actual = mark.actual;
      level.normal = mark.normal;
      if (mark.actual == 0) {
        // What is left of the time-modification by the brackets around this one.
        if (levels_.empty()) {
          level.actual = raw.actual;
          level.normal = raw.normal;
        } else {
          const Fraction rest = ratio / product();
          constexpr std::int64_t most = 1024;
          if (rest == 1 || rest.num() > most || rest.den() > most) continue;
          level.actual = static_cast<int>(rest.num());
          level.normal = static_cast<int>(rest.den());
        }
      }
      levels_.push_back(level);
    }
  }

  void put(std::vector<TupletSpan>& spans, const RawNote& raw, std::size_t level, const Tuplet& tuplet) {
    const Fraction end = raw.onset + raw.duration;
    std::size_t& last = last_.at(level);
    if (last != none && last < spans.size()) {
      TupletSpan& span = spans[last];
      const bool goes_on = span.to == raw.onset && !span.tuplet.stops && !tuplet.starts &&
                           span.tuplet.actual == tuplet.actual && span.tuplet.normal == tuplet.normal;
      if (goes_on) {
        span.to = end;
        return;
      }
    }
    last = spans.size();
    spans.push_back({raw.onset, end, level, raw.voice, tuplet});
  }

  void stop(std::size_t level, std::vector<TupletSpan>& spans) {
    std::size_t& last = last_.at(level);
    if (last != none && last < spans.size()) spans[last].tuplet.stops = true;
    last = none;
  }

  void close(const RawNote& raw, std::vector<TupletSpan>& spans) {
    if (!levels_.empty() && levels_.front().inferred) {
      Level& level = levels_.front();
      level.length += raw.duration;
      level.smallest = std::min(level.smallest, printed(raw));
      if (is_power_of_two(level.length.den()) && level.length >= level.smallest * level.normal)
        close_all(spans);
      return;
    }
    for (const Mark& mark : raw.marks) {
      if (mark.kind != Mark::Kind::tuplet || mark.start || levels_.empty()) continue;
      std::size_t level = levels_.size() - 1;
      while (level > 0 && levels_[level].number != mark.number) --level;
      if (levels_[level].number != mark.number) level = levels_.size() - 1;
      while (levels_.size() > level) {  // with all that is inside of it
        stop(levels_.size() - 1, spans);
        levels_.pop_back();
      }
    }
  }

  void close_all(std::vector<TupletSpan>& spans) {
    while (!levels_.empty()) {
      stop(levels_.size() - 1, spans);
      levels_.pop_back();
    }
  }

  std::vector<Level> levels_;
  std::vector<std::size_t> last_ = std::vector<std::size_t>(most_levels, none);  // span of each level
};

}  // namespace

std::vector<std::vector<TupletSpan>> find_tuplets(const RawPart& part) {
  std::vector<std::vector<TupletSpan>> result(part.measures.size());
  std::vector<Follower> voices(part.voices + 1);
  std::vector<std::size_t> used;  // voices of this measure
  std::vector<std::size_t> last_measure(voices.size(), part.measures.size());
  const bool any = std::any_of(part.measures.begin(), part.measures.end(), [](const RawMeasure& measure) {
    return std::any_of(measure.notes.begin(), measure.notes.end(),
                       [](const RawNote& raw) { return raw.actual != raw.normal; });
  });
  if (!any) return result;
  for (std::size_t m = 0; m < part.measures.size(); ++m) {
    used.clear();
    for (const RawNote& raw : part.measures[m].notes) {
      if (raw.chord || raw.grace != Grace::none) continue;
      const std::size_t voice = std::min<std::size_t>(raw.voice, voices.size() - 1);
      if (last_measure[voice] != m) {
        last_measure[voice] = m;
        used.push_back(voice);
      }
      voices[voice].next(raw, result[m]);
    }
    for (const std::size_t voice : used) voices[voice].barline(result[m]);
  }
  return result;
}

}  // namespace fifthpeg::musicxml::reader
