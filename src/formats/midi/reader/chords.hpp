// Chords struck in accompaniment parts, as chord symbols.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "fifthpeg/score.hpp"
#include "formats/midi/note_pairing.hpp"

namespace fifthpeg::midi::reader {

struct ChordPoint {
  std::int64_t tick = 0;
  ChordSymbol chord;  // `at` not set; roots as in C major, to be spelled in the key
  int root = 0;       // pitch class
  int bass = -1;      // pitch class, -1: the root
};

// Names a chord by its pitch classes (bit n is n half steps above C), if it is one of the usual triads,
// sixths and sevenths. `bass` is the pitch class of its lowest note and settles what can be read two ways.
std::optional<ChordPoint> name_chord(unsigned pitch_classes, int bass);

// One point for each change, over the parts that are neither `taken` nor percussion. A bass note struck
// before the chord, and below it, is the chord's: where a band plays bass and strum by turns, the chord
// changes with the bass.
std::vector<ChordPoint> recognize_chords(const std::vector<PlayedPart>& parts, const std::vector<bool>& taken,
                                         std::int64_t together_ticks);

}  // namespace fifthpeg::midi::reader
