#include "formats/midi/reader/strokes.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace fifthpeg::midi::reader {
namespace {

// What "on the grid" means for a short note: thirty-seconds and triplet sixteenths.
constexpr std::array<int, 2> written_grids{32, 48};
constexpr std::size_t fewest_in_tuplet = 3;

class StrikeFinder {
 public:
  StrikeFinder(std::vector<TakenNote>& notes, const TempoMap& map, const Bars& bars)
      : notes_(notes), map_(map), bars_(bars) {}

  std::vector<Strike> run() {
    strikes_.reserve(notes_.size());
    for (std::size_t i = 0; i < notes_.size();) i = take_strike(i);
    find_graces();
    keep_even_runs();
    return std::move(strikes_);
  }

 private:
  std::int64_t on(std::size_t i) const { return notes_[i].played.on; }

  std::size_t take_strike(std::size_t first) {
    const double seconds = map_.seconds_per_tick_at(on(first));
    const double close = std::min(one_stroke_s / seconds, 0.9 * map_.ticks_per_quarter / 16.0);
    const double longest = longest_brush_s / seconds;
    std::size_t last = first + 1;
    while (last < notes_.size() && static_cast<double>(on(last) - on(last - 1)) <= close &&
           static_cast<double>(on(last) - on(first)) <= longest) {
      // The same key twice is two strokes, however close.
      if (on(last) != on(first) && holds_key(first, last, notes_[last].played)) break;
      ++last;
    }
    // A chain of close notes is one stroke only if it is a brush; otherwise only what is close to the first.
    const Brush brush = brush_of(first, last);
    if (brush == Brush::none) {
      while (static_cast<double>(on(last - 1) - on(first)) > close) --last;
    }
    strikes_.push_back({brush == Brush::none ? middle(first, last) : on(first), first, last, brush, false});
    if (last - first > 1) {
      std::stable_sort(notes_.begin() + static_cast<std::ptrdiff_t>(first),
                       notes_.begin() + static_cast<std::ptrdiff_t>(last),
                       [](const auto& a, const auto& b) { return a.played.key < b.played.key; });
    }
    return last;
  }

  bool holds_key(std::size_t first, std::size_t last, const PlayedNote& note) const {
    // Only the last few can matter: a hand has five fingers, a banjo five strings.
    const std::size_t from = last - first > 8 ? last - 8 : first;
    for (std::size_t i = from; i < last; ++i) {
      if (notes_[i].played.key == note.key && notes_[i].played.channel == note.channel) return true;
    }
    return false;
  }

  // Three or more notes, each a little later than the one before, in order of pitch.
  Brush brush_of(std::size_t first, std::size_t last) const {
    if (last - first < 3) return Brush::none;
    bool rising = true;
    bool falling = true;
    std::int64_t shortest = on(last - 1) - on(first);
    std::int64_t longest = 0;
    for (std::size_t i = first + 1; i < last; ++i) {
      const std::int64_t gap = on(i) - on(i - 1);
      shortest = std::min(shortest, gap);
      longest = std::max(longest, gap);
      rising = rising && notes_[i].played.key >= notes_[i - 1].played.key;
      falling = falling && notes_[i].played.key <= notes_[i - 1].played.key;
    }
    // Evenly: no gap more than three times as long as another.
    if (shortest < 1 || longest > 3 * shortest + 1 || rising == falling) return Brush::none;
    return rising ? Brush::up : Brush::down;
  }

  // Where notes that were meant together were played on average.
  std::int64_t middle(std::size_t first, std::size_t last) const {
    if (on(last - 1) == on(first)) return on(first);
    double sum = 0;
    for (std::size_t i = first; i < last; ++i) sum += static_cast<double>(on(i) - on(first));
    return on(first) + std::llround(sum / static_cast<double>(last - first));
  }

  bool on_grid(std::int64_t at) const {
    const auto tick = static_cast<double>(at);
    const std::size_t index = bars_.bar_at(tick);
    const Bar& bar = bars_.bars[index];
    return std::any_of(written_grids.begin(), written_grids.end(), [&](int den) {
      return std::abs(bar.tick_at(bars_.offset_at(index, tick, den)) - tick) < 0.999;
    });
  }

  // Short notes off the grid, each followed at once by the next, the last by one with more time: however soon
  // that is let go.
  void find_graces() {
    std::int64_t after_next = INT64_MAX;  // the strike after `next` that is not grace
    for (std::size_t i = strikes_.size(); i-- > 1;) {
      Strike& strike = strikes_[i - 1];
      const Strike& next = strikes_[i];
      if (i + 1 < strikes_.size() && !strikes_[i + 1].grace) after_next = strikes_[i + 1].tick;
      const double seconds = map_.seconds_per_tick_at(strike.tick);
      const double longest = std::min(longest_grace_s / seconds, map_.ticks_per_quarter / 8.0);
      const auto until_next = static_cast<double>(next.tick - strike.tick);
      if (until_next >= longest || strike.brush != Brush::none) continue;
      std::int64_t off = 0;
      for (std::size_t n = strike.first; n < strike.last; ++n) off = std::max(off, notes_[n].played.off);
      if (static_cast<double>(off - strike.tick) >= 1.5 * longest) continue;
      const bool has_time = static_cast<double>(after_next - next.tick) > longest;
      if (next.grace || has_time) strike.grace = !on_grid(strike.tick);
    }
  }

  // Grace notes leave most of its time to the note before them. Where that note has no more than each of
  // them, all together divide the time up to the next note evenly: a quick tuplet, and none are grace notes.
  void keep_even_runs() {
    for (std::size_t i = 1; i < strikes_.size(); ++i) {
      if (!strikes_[i].grace || strikes_[i - 1].grace) continue;
      const std::size_t before = i - 1;
      while (i < strikes_.size() && strikes_[i].grace) ++i;  // to the note that they lead to
      if (i - before < fewest_in_tuplet || !divide_evenly(before, i) || !on_grid(strikes_[before].tick))
        continue;
      for (std::size_t n = before + 1; n < i; ++n) strikes_[n].grace = false;
    }
  }

  // As far as whole ticks can say.
  bool divide_evenly(std::size_t first, std::size_t last) const {
    const auto span = static_cast<double>(strikes_[last].tick - strikes_[first].tick);
    for (std::size_t i = first + 1; i < last; ++i) {
      const double part = static_cast<double>(i - first) / static_cast<double>(last - first);
      if (std::abs(static_cast<double>(strikes_[i].tick - strikes_[first].tick) - span * part) >= 1.0)
        return false;
    }
    return true;
  }

  std::vector<TakenNote>& notes_;
  const TempoMap& map_;
  const Bars& bars_;
  std::vector<Strike> strikes_;
};

}  // namespace

std::vector<Strike> find_strikes(std::vector<TakenNote>& notes, const TempoMap& map, const Bars& bars) {
  return StrikeFinder(notes, map, bars).run();
}

}  // namespace fifthpeg::midi::reader
