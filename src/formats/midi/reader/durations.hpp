// Where in notated time each stroke ends.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "fifthpeg/fraction.hpp"
#include "formats/midi/reader/bars.hpp"
#include "formats/midi/reader/tempo_map.hpp"

namespace fifthpeg::midi::reader {

// What is known of a stroke's sound when its notated end is sought.
struct StrokeSpan {
  std::int64_t on = 0;  // in ticks
  std::int64_t off = 0;
  Fraction at;                // notated onset
  std::int64_t next_on = -1;  // of the next stroke; -1: none follows
  Fraction next_at;
};

// What kind of file the strokes are from.
struct EndsOf {
  bool exact = false;            // it was written: ends stand where they are meant
  bool take = false;             // it was played, and the beats were found
  std::optional<Fraction> step;  // what all notes stand on, if that is known
  Fraction pickup;               // of a take; 0: it has none
};

// Gaps that stand exactly on the grid of a written file become rests; small ones, and
// those that a file has after every note (a gate time), are part of the note. The last note is followed by
// nothing, and has the gate time of the others. In a take, all gaps shorter than a beat are part of the note.
class EndFinder {
 public:
  // Looks at all strokes first: how much shorter than written does this file play everything?
  EndFinder(const TempoMap& map, const Bars& bars, EndsOf of, const std::vector<StrokeSpan>& strokes);

  // After `at`, and not after next_at.
  Fraction find(const StrokeSpan& stroke) const;

 private:
  // Silence after the notes that followed ones share.
  struct Gate {
    double ratio = 0.0;    // sounding part of every note; 0: none found
    std::int64_t gap = 0;  // ticks of silence after every note; 0: none found
  };

  bool is_gate(const StrokeSpan& stroke) const;
  Fraction rung_out(const StrokeSpan& stroke) const;
  Fraction last_end(const StrokeSpan& stroke, Fraction end) const;
  std::optional<Fraction> exact_end(const StrokeSpan& stroke) const;
  std::optional<Fraction> before_gate(const StrokeSpan& stroke, const Gate& gate) const;

  const TempoMap& map_;
  const Bars& bars_;
  EndsOf of_;
  Gate gate_;    // shared by notes of several values
  Gate common_;  // shared by most notes, perhaps all of one value: then it may be a rest as well
};

}  // namespace fifthpeg::midi::reader
