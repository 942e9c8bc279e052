// A measure as it is engraved: which printed notes stand for its strokes, beamed and bracketed.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "engraving/note_value.hpp"

namespace fifthpeg::engraving {

enum class Beam : std::int8_t { none, begin, carry_on, end, forward_hook, backward_hook };

// One printed note, chord or rest: a stroke, or a part of one, tied to the others (a rest's parts are not).
struct Piece {
  std::size_t stroke = 0;     // index in the measure
  std::int64_t onset = 0;     // ticks from the start of the measure
  std::int64_t duration = 0;  // ticks as it sounds; 0 for grace notes
  NoteValue value;            // none: the duration alone says how long it is
  bool first = true;          // of its stroke
  bool last = true;
  bool measure_rest = false;    // a rest for the whole measure
  std::array<Beam, 8> beams{};  // primary first
};

// The strokes of one level of a tuplet.
struct TupletGroup {
  std::size_t level = 0;  // 0 outermost
  std::size_t first_piece = 0;
  std::size_t last_piece = 0;
  bool closed = false;  // it ends in this measure
  NoteValue unit;       // of the notes that are counted; none where that is no single value
  bool bracket = true;  // it has to be bracketed: no beam shows it
};

struct Engraving {
  std::vector<Piece> pieces;
  std::vector<TupletGroup> groups;  // in order of beginning, outer before inner
};

}  // namespace fifthpeg::engraving
