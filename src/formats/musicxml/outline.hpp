// Where the elements of a slice stand in its text: for edits that leave all else as it is.
#pragma once

#include <cstddef>
#include <optional>
#include <string_view>
#include <unordered_map>

#include "formats/musicxml/measure_splitter.hpp"

namespace fifthpeg::musicxml {

class Outline {
 public:
  struct Range {
    std::size_t begin = 0;    // of its "<", in bytes from the start of the slice
    std::size_t tag_end = 0;  // behind the ">" of its start tag
    std::size_t end = 0;      // behind its last ">"
    bool empty = false;       // one tag is all of it
  };

  // `root` is what the slice was parsed to. Throws ReadError where tags and elements do not fit.
  Outline(const Slice& slice, const Element& root);

  // Of an element of the slice.
  const Range& of(const Element& element) const { return ranges_.at(&element); }
  // Where its content begins; nothing where it is an empty tag.
  std::optional<std::size_t> content_of(const Element& element) const;

 private:
  std::unordered_map<const Element*, Range> ranges_;
};

}  // namespace fifthpeg::musicxml
