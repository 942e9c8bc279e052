// Which elements and attributes the reader makes something of, and what the others are.
#pragma once

#include <cstdint>
#include <string_view>
#include <vector>

namespace fifthpeg::musicxml::reader {

struct ReadInside {
  std::vector<std::string_view> children, attributes;  // "*": all
};

// What is read in an element; null where nobody is told what is not: of an element that holds a number or a
// word, and of those that are not music's concern.
const ReadInside* read_inside(std::string_view element);

enum class Unread : std::uint8_t {
  unknown,    // no name of MusicXML 4.0
  layout,     // how a page looks, or which of several things this is; says nothing about music
  placeless,  // music, or about it, for which a banjo score has no place
};

// What a name stands for where it is not read.
Unread unread_kind(std::string_view name);

}  // namespace fifthpeg::musicxml::reader
