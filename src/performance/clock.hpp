// Written time to ticks: the resolution, the measures in the order they are played, and swing.
#pragma once

#include <cstdint>
#include <vector>

#include "fifthpeg/performance.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::performance {

// One playing of a measure.
struct Played {
  std::size_t index = 0;   // into Score::measures
  std::int64_t start = 0;  // ticks
  std::int64_t end = 0;
  // The tick of the barline that the measure is counted from. Before `start` in a pickup and in the second
  // half of a split measure, which are counted from the end of their meter.
  std::int64_t bar = 0;
  bool goes_on_from_previous = false;  // together with the measure played before it, one whole measure
  bool goes_on_in_next = false;
  bool counted_from_bar = false;  // the time from the barline to a late start is there too, as a rest
};

// How far after its barline a measure begins that is shorter than its meter: a pickup fills the end of it.
Fraction lead(const Score& score, std::size_t index);

// Whether the pickup that a score begins with is written after a rest that fills up its measure: where it has
// to be, because swing counts from the barline, its meter is not the next measure's, or a time signature
// cannot say its length. Otherwise it is a short measure with a time signature of its own.
bool pickup_after_rest(const Score& score);

// Which pairs of a measure are swung: those in which notes are struck, and only at the beginning or in the
// middle. Rests and the ends of notes follow. A pair that is divided otherwise is played as written.
class SwungMeasure {
 public:
  SwungMeasure(const Score& score, const Played& played);
  // Where an offset, counted from the barline, is played.
  Fraction operator()(Fraction from_bar) const;

 private:
  const Swing* swing_ = nullptr;
  Fraction pair_;
  std::vector<bool> swung_;  // by pair, counted from the barline
};

// The smallest multiple of 480 ticks a quarter note that every written time of the score is exact in; 0 where
// that is more than `highest`.
std::int64_t exact_resolution(const Score& score, std::int64_t highest);

class Clock {
 public:
  // Lays out the measures. Throws TimeError for a score that is too long.
  Clock(const Score& score, const PerformOptions& options);

  int ticks_per_quarter() const { return ticks_per_quarter_; }
  const std::vector<Played>& played() const { return played_; }
  // Repeats and jumps would go on without end, and the piece is played straight through.
  bool repeats_ignored() const { return repeats_ignored_; }
  std::int64_t end() const { return played_.empty() ? 0 : played_.back().end; }
  // The nearest tick to a length.
  std::int64_t ticks(Fraction length) const;

 private:
  std::vector<std::size_t> order_of(const Score& score, bool unfold);
  void lay_out(const Score& score, const std::vector<std::size_t>& order);

  int ticks_per_quarter_ = 480;
  bool repeats_ignored_ = false;
  std::vector<Played> played_;
};

// The ticks of one playing of a measure.
class MeasureClock {
 public:
  MeasureClock(const Score& score, const Clock& clock, const Played& played)
      : clock_(clock), played_(played), lead_(lead(score, played.index)), swung_(score, played) {}
  // The tick of an offset from the start of the measure.
  std::int64_t operator()(Fraction offset) const {
    return played_.bar + clock_.ticks(swung_(lead_ + offset));
  }

 private:
  const Clock& clock_;
  const Played& played_;
  Fraction lead_;
  SwungMeasure swung_;
};

}  // namespace fifthpeg::performance
