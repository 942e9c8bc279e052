#include "formats/musicxml/outline.hpp"

#include <vector>

#include "formats/musicxml/encoding.hpp"

namespace fifthpeg::musicxml {
namespace {

// In the order of their start tags.
void collect(const Element& element, std::vector<const Element*>& all) {
  all.push_back(&element);
  each_child(element, [&all](const Element& child, std::string_view) { collect(child, all); });
}

}  // namespace

Outline::Outline(const Slice& slice, const Element& root) {
  std::vector<const Element*> elements;
  collect(root, elements);
  std::vector<Range*> open;
  std::size_t next = 0;
  Tag tag;
  const TagScanner scanner(slice.text);
  for (std::size_t at = 0; scanner.next(at, tag); at = tag.to) {
    if (tag.kind == Tag::Kind::other) continue;
    if (tag.kind == Tag::Kind::close) {
      if (open.empty()) break;
      open.back()->end = tag.to;
      open.pop_back();
    } else {
      if (next == elements.size()) break;
      const bool empty = tag.kind == Tag::Kind::empty;
      Range& range = ranges_[elements[next++]];
      range = {tag.from, tag.to, tag.to, empty};
      if (!empty) open.push_back(&range);
    }
  }
  if (next == elements.size()) return;
  throw ReadError("the elements of this measure do not stand where they seem to", at_line(slice.line));
}

std::optional<std::size_t> Outline::content_of(const Element& element) const {
  const Range& range = of(element);
  if (range.empty) return std::nullopt;
  return range.tag_end;
}

}  // namespace fifthpeg::musicxml
