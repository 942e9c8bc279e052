// From ticks to note values: where in notated time each stroke begins and ends.
//
// Beat by beat, the subdivision is searched that explains the onsets best. In a file that a notation program
// wrote, that is the simplest one that meets every onset exactly, as far as its ticks can say. In a played
// file it is the one with the least cost: squared distance from the grid, measured against how evenly
// people play, plus what a reader pays for a fine or an odd subdivision.
#pragma once

#include <cstdint>
#include <optional>
#include <utility>
#include <vector>

#include "fifthpeg/fraction.hpp"
#include "formats/midi/reader/bars.hpp"
#include "formats/midi/reader/tempo_map.hpp"

namespace fifthpeg::midi::reader {

// How far a played onset usually lies from where it belongs, as a standard deviation in seconds. Played
// with a click, professionals stay near 10 ms, amateurs near 20 ms (common practice).
inline constexpr double played_spread_s = 0.012;

struct Grid {
  std::vector<Fraction> onsets;  // whole notes from the beginning of the piece, never decreasing
  bool exact = false;            // the file was written, not played
  double residual = 0.0;         // mean distance moved, in whole notes; 0 where exact
  double residual_seconds = 0.0;
};

// Onsets are in ticks, in order. `step` forces the grid to its multiples, counted from each barline.
Grid quantise_onsets(const std::vector<std::int64_t>& ticks, const TempoMap& map, const Bars& bars,
                     std::optional<Fraction> step);

// What is known of a stroke's sound when its notated end is sought.
struct Sounding {
  std::int64_t on = 0;  // in ticks
  std::int64_t off = 0;
  Fraction at;                // notated onset
  std::int64_t next_on = -1;  // of the next stroke; -1: none follows
  Fraction next_at;
};

// Finds notated ends. Gaps that stand exactly on the grid of a written file become rests; small ones, and
// those that a file has after every note (a gate time), are part of the note. The last note is followed by
// nothing, and has the gate time of the others.
class Ends {
 public:
  Ends(const TempoMap& map, const Bars& bars, bool exact, std::optional<Fraction> step)
      : map_(map), bars_(bars), exact_(exact), step_(step) {}

  // To be shown all strokes first: how much shorter than written does this file play everything?
  void look_at(const Sounding& stroke);
  void learn();
  // After `at`, and not after next_at.
  Fraction find(const Sounding& stroke);

 private:
  // Silence after the notes that followed ones share.
  struct Gate {
    double ratio = 0.0;    // sounding part of every note; 0: none found
    std::int64_t gap = 0;  // ticks of silence after every note; 0: none found
  };

  bool is_gate(const Sounding& stroke) const;
  std::optional<Fraction> exact_end(const Sounding& stroke);
  std::optional<Fraction> before_gate(const Sounding& stroke, const Gate& gate);

  // A ratio or gap with the time to the next stroke.
  using Silence = std::pair<double, std::int64_t>;

  const TempoMap& map_;
  const Bars& bars_;
  bool exact_;
  std::optional<Fraction> step_;
  std::size_t hint_ = 0;
  std::vector<Silence> ratios_, gaps_;  // of the strokes seen that end before the next one
  std::size_t followed_ = 0;            // strokes seen that have a next one
  Gate gate_;                           // shared by notes of several values
  Gate common_;  // shared by most notes, perhaps all of one value: then it may be a rest as well
};

}  // namespace fifthpeg::midi::reader
