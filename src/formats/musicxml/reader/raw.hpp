// A part as it stands in the file, before voices, staves and copies become one line of strokes.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg::musicxml::reader {

// One end of a tuplet bracket.
struct TupletMark {
  int number = 1;  // which bracket, where several are open
  bool start = false;
  int actual = 0;  // ratio of this level; 0 where the file leaves it to the time-modification
  int normal = 0;
};

// One end of a slur.
struct SlurMark {
  int number = 1;
  bool start = false;
};

struct RawNote {
  enum class Kind : std::int8_t { pitched, rest, unpitched };

  Fraction onset;
  Fraction duration;  // zero for grace notes
  Fraction printed;   // value of type and dots; zero where the file has no type
  std::int64_t line = 0;
  std::int32_t actual = 1;  // time-modification
  std::int32_t normal = 1;
  std::uint16_t voice = 0;  // index, counted over the part
  std::uint8_t staff = 1;
  Kind kind = Kind::rest;
  Grace grace = Grace::none;
  Brush brush = Brush::none;
  bool chord = false;  // struck with the note before it
  bool measure_rest = false;
  std::optional<std::int16_t> string, fret;  // as the file numbers them
  Note note;                                 // without placement; pitch moved by `transpose`
  Articulations articulations;
  std::vector<TupletMark> tuplets;
  std::vector<SlurMark> slurs;
  std::vector<Lyric> lyrics;
};

// A direction and the staff it stands at, so that a copy of a staff does not double it.
struct RawDirection {
  Direction direction;
  int staff = 1;
};

struct RawMeasure {
  Measure measure;  // everything but length and strokes
  Fraction extent;  // how far notes, rests and forwards reach
  std::vector<RawNote> notes;
  std::vector<RawDirection> directions;
  std::vector<Fraction> damps;  // where a direction stops the strings
  std::int64_t line = 0;
  bool dropped = false;  // empty stand-in for no measure at all
};

inline constexpr int most_staves = 32;  // of one part; more are taken as the last

struct RawStaff {
  std::optional<int> lines;
  std::array<std::optional<Pitch>, 12> tuning;  // by line from the bottom, index 0 is line 1
  int tuned_lines = 0;                          // highest line with a tuning
  bool tab = false;                             // TAB clef, or a tuning
  bool percussion = false;
  std::uint64_t notes = 0;
  std::uint64_t placed = 0;
};

struct RawPart {
  std::vector<RawMeasure> measures;
  std::array<RawStaff, most_staves + 1> staves;  // by number, from 1
  std::optional<int> capo;
  bool transposes = false;  // a `transpose` was there
  bool has_key = false;
  std::size_t voices = 0;
  std::optional<Swing> swing;
};

}  // namespace fifthpeg::musicxml::reader
