// Strokes in notated time to measures: barlines, rests, ties, tuplets, the pickup.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "formats/midi/reader/bars.hpp"
#include "formats/midi/reader/strokes.hpp"

namespace fifthpeg::midi::reader {

// A strike that has its place in notated time.
struct PlacedStroke {
  Fraction at;  // whole notes from the beginning of the piece
  Fraction end;
  std::int64_t tick = 0;  // never decreasing
  std::size_t first = 0;  // notes [first, last)
  std::size_t last = 0;
  Brush brush = Brush::none;
  std::vector<Strike> graces;  // that lead to it
};

// Where the measures of the score stand on the bars of the file: the same, but for a pickup.
struct Layout {
  Fraction pickup_rest;      // silence taken away from the front of the first bar; 0: no pickup
  bool short_first = false;  // the first bar has a shorter meter of its own, and is a pickup
  Fraction last_length;      // of the last bar: shortened where it makes up for a pickup
};

// Where the music of a file begins and ends, for its pickup.
struct Extent {
  Fraction first_onset;
  Fraction end;
  bool end_exact = false;          // the track ends there too, on the grid
  std::optional<Fraction> pickup;  // its length, if the file states whether it has one; 0: it has none
};

// What the file states holds, if it can be. The rules where it states nothing: the first measure is a pickup
// if its meter is shorter than the second's, which is then its meter too; if the first note of the whole file
// stands in the second half of it; or if the music ends in the last measure exactly where it began in the
// first. The last measure is shortened where it makes up for the pickup, and where a file that states its
// pickups ends in it.
Layout find_pickup(const Bars& bars, const Extent& extent, Report& report);

// Everything of the measures but what stands beside the notes. `keys` as they begin: the key of each bar,
// and changes inside, are already in `measures`.
void fill_measures(Score& score, const Bars& bars, const Layout& layout,
                   const std::vector<PlacedStroke>& strokes, const std::vector<TakenNote>& notes,
                   Report& report);

}  // namespace fifthpeg::midi::reader
