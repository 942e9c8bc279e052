// Printed note values: a type from the 1024th to the maxima, with up to two dots.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "fifthpeg/fraction.hpp"

namespace fifthpeg::engraving {

// What values are counted in: a 1024th with two dots is the shortest that can be printed to the end.
inline constexpr std::int64_t value_units = 4096;  // in a whole note

struct NoteValue {
  // -1: none. Otherwise the type, doubling from 1024th (0) over quarter (8) and whole (10) to maxima (13).
  std::int8_t type = -1;
  std::int8_t dots = 0;

  explicit operator bool() const { return type >= 0; }
  friend bool operator==(const NoteValue&, const NoteValue&) = default;
};

inline constexpr std::int8_t quarter_type = 8;

// A length in 1/value_units of a whole note; 0 where it is not a whole number of them, or longer than 16
// whole notes.
std::int64_t units_in(Fraction length);

// The single note value of that length, or none.
NoteValue single_value(std::int64_t units);
// The longest single note value that is not longer; none where even a 1024th is longer.
NoteValue longest_value_in(std::int64_t units);
std::int64_t length_in_units(NoteValue value);

// The names of the types, as in MusicXML: "eighth", "16th". The type must not be -1.
std::string_view type_name(int type);
NoteValue type_named(std::string_view name);  // without dots; none for other names
// As people say it, "dotted sixteenth". The value must not be none.
std::string spoken_name(NoteValue value);
// The same with what it is a value of: "a dotted half note", "an eighth rest".
std::string spoken_name(NoteValue value, std::string_view of);
// Beams (or flags) of a type: 1 for an eighth, 0 from the quarter up, 8 for a 1024th.
int beam_count(int type);

}  // namespace fifthpeg::engraving
