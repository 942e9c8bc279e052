// A score cut into its measures before it is parsed, so that never more than one measure is held as a tree:
// a tree takes about ten times the memory of its text.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <tinyxml2.h>
#include <vector>

#include "fifthpeg/errors.hpp"
#include "formats/musicxml/values.hpp"

namespace fifthpeg::musicxml {

// The text of a measure (in timewise scores, of a part of one), tags included, and its first line.
struct Slice {
  std::string_view text;
  std::int64_t line = 1;
};

// One piece of markup: where it begins, and just behind it.
struct Tag {
  enum class Kind : std::int8_t { open, close, empty, other } kind = Kind::other;
  std::size_t from = 0;
  std::size_t to = 0;
};

class TagScanner {
 public:
  explicit TagScanner(std::string_view text) : text_(text) {}

  // The next piece of markup from `at` on; false where there is none, or it never ends.
  bool next(std::size_t at, Tag& tag) const;
  std::string_view name(const Tag& tag) const;
  // Whether the tag's element is a part or a measure.
  bool is_music(const Tag& tag) const;
  [[noreturn]] void refuse(std::size_t at, const char* what) const;

 private:
  std::string_view text_;
};

struct Sliced {
  // The text with each slice replaced by an empty element of the same name and attributes. Lines keep their
  // numbers.
  std::string skeleton;
  std::vector<Slice> slices;  // in the order of their elements in the skeleton
};

// Cuts out the third level of elements: of what is in the elements `part` and `measure` of the outermost
// one, the elements `measure` and `part`. Linear; looks at tags alone, and leaves what is not well-formed
// for the parser to find. Throws ReadError for what would make the parser slow or its tree huge: a tag of
// more than a hundred attributes, a measure (or all the rest together) of more than two million tags.
Sliced slice(std::string_view text);

// Throws ReadError, with the line, for a tag of more than a hundred attributes: what slice() refuses before
// tinyxml2 sees it, and libxml2 must not see either. `text` in UTF-8.
void refuse_crowded_tags(std::string_view text);

// Of a skeleton that is broken: up to its last measure before the damage, with what is open there closed;
// empty where there is none.
std::string whole_measures(std::string_view skeleton);

// Parses one slice after the other in the same memory.
class SliceParser {
 public:
  // The element of a slice, until the next call. Throws ReadError, with its line in the file.
  const Element& parse(const Slice& slice);

 private:
  tinyxml2::XMLDocument xml_;
};

// What tinyxml2 found in a text that begins in `line` of the file, at `error_line` of the text: in words for
// people, with the place.
ReadError broken(tinyxml2::XMLError error, std::string_view text, std::int64_t line, int error_line);

}  // namespace fifthpeg::musicxml
