// What stands beside the notes: tempos, keys, chord symbols, rehearsal marks, words, lyrics.
#pragma once

#include <cstdint>
#include <functional>
#include <vector>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "formats/midi/reader/bars.hpp"
#include "formats/midi/reader/chords.hpp"
#include "formats/midi/reader/measures.hpp"
#include "formats/midi/reader/swing.hpp"
#include "formats/midi/reader/tempo_map.hpp"
#include "formats/midi/reader/texts.hpp"

namespace fifthpeg::midi::reader {

// Finds the measure and the offset in it of a tick as it is in the file: that of the stroke that was struck
// there, if there is one, else the nearest 1/192.
class Placer {
 public:
  struct Spot {
    std::size_t measure = 0;
    Fraction offset;
  };
  Placer(const Score& score, const Bars& bars, const Layout& layout, const Straightener& straightener,
         const std::vector<PlacedStroke>& strokes, double near_ticks)
      : score_(score),
        bars_(bars),
        layout_(layout),
        straightener_(straightener),
        strokes_(strokes),
        near_(near_ticks) {}

  Spot at(std::int64_t tick) const;

 private:
  const Score& score_;
  const Bars& bars_;
  const Layout& layout_;
  const Straightener& straightener_;
  const std::vector<PlacedStroke>& strokes_;
  double near_;
};

// The measures with number, meter, length; nothing in them yet.
void make_measures(Score& score, const Bars& bars, const Layout& layout);

void place_keys(Score& score, const TempoMap& map, const Placer& placer);
void place_tempos(Score& score, const TempoMap& map, const Placer& placer);
void place_markers(Score& score, const Texts& texts, const Placer& placer);
void place_chords(Score& score, const std::vector<ChordPoint>& chords, const Placer& placer);
// Lyrics of `track`, or, if it has none, of the first track that has; to the strokes that they fall on.
void place_lyrics(Score& score, const Texts& texts, std::size_t track, const Placer& placer, Report& report);

}  // namespace fifthpeg::midi::reader
