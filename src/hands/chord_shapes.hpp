// How the fret hand holds the chord of a chord symbol: as the table of shapes has it, or as can be found.
#pragma once

#include <array>
#include <optional>

#include "fifthpeg/banjo.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::hands {

// What is done with one string.
struct StringHold {
  std::optional<int> fret;           // counted from the capo, 0 is open; nothing: it is not played
  std::optional<FretFinger> finger;  // that stops it
  friend bool operator==(const StringHold&, const StringHold&) = default;
};

struct ChordShape {
  std::array<StringHold, string_count> strings{};

  StringHold& on(int string) { return strings.at(static_cast<std::size_t>(string - 1)); }
  const StringHold& on(int string) const { return strings.at(static_cast<std::size_t>(string - 1)); }
  friend bool operator==(const ChordShape&, const ChordShape&) = default;
};

// All open strings if they are the chord; else an open shape of the table; else the movable one lowest on the
// neck; else the easiest fingering of strings 1 to 4 that can be found, within five frets from the nut or
// capo if there is one, and its fingers are those that finger() gives it. Of a chord over another bass, the
// chord. The fifth string is open or not played. Nothing where there is no shape, or the symbol names no
// notes.
std::optional<ChordShape> chord_shape(const Banjo& banjo, const ChordSymbol& chord);

}  // namespace fifthpeg::hands
