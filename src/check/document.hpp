// A MusicXML document as it is written, measure by measure: elements with their lines and bytes, nothing
// repaired. Memory does not grow with the document, but with its largest measure.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace fifthpeg::check {

struct Element {
  static constexpr std::size_t none = SIZE_MAX;

  std::string_view name;
  std::string text;  // directly inside, without that of its children
  std::vector<std::pair<std::string_view, std::string>> attributes;
  std::int64_t line = 0;
  std::size_t begin = 0;    // of its "<" in the text
  std::size_t tag_end = 0;  // where its start tag's ">" or "/>" stands
  std::size_t end = 0;      // behind its last ">"
  std::size_t parent = none;
  std::size_t first = none;  // child
  std::size_t last = none;
  std::size_t next = none;  // sibling
};

// An element and all that is inside, the outermost first.
class Tree {
 public:
  const Element& root() const { return elements_.front(); }
  bool empty() const { return elements_.empty(); }
  std::vector<Element>& elements() { return elements_; }
  const std::vector<Element>& elements() const { return elements_; }

  // Calls visit(child) for each child element, in order.
  template <typename Visit>
  void each(const Element& parent, Visit visit) const {
    for (std::size_t i = parent.first; i != Element::none; i = elements_[i].next) visit(elements_[i]);
  }
  // The first child of that name, or null.
  const Element* child(const Element& parent, std::string_view name) const;
  // The text of the first child of that name without white space around it; empty where there is none.
  std::string_view child_text(const Element& parent, std::string_view name) const;

 private:
  std::vector<Element> elements_;
};

std::string_view trimmed_text(const Element& element);
// The value of an attribute, or empty.
std::string_view attribute(const Element& element, std::string_view name);
bool has_attribute(const Element& element, std::string_view name);

// Measures of a timewise score come in the order in which they stand: one measure of every part.
class DocumentVisitor {
 public:
  DocumentVisitor() = default;
  DocumentVisitor(const DocumentVisitor&) = delete;
  DocumentVisitor& operator=(const DocumentVisitor&) = delete;
  virtual ~DocumentVisitor() = default;

  // All that stands before the first part or measure: root is the document's outermost element.
  virtual void head(const Tree& tree) = 0;
  // root is the element with the notes. `label` has the attributes of the measure.
  virtual void measure(std::string_view part, const Element& label, const Tree& tree) = 0;
};

// Where the reading of a document ended.
struct WalkEnd {
  bool complete = false;  // the whole document was well-formed
  bool score = false;     // it is a score, partwise or timewise
  std::int64_t line = 0;
};

// `text` in UTF-8, whatever its declaration says. Visits all that is well-formed, up to the first place that
// is not. Entities are neither fetched nor expanded. Never throws for what the text holds.
WalkEnd walk(std::string_view text, DocumentVisitor& visitor);

}  // namespace fifthpeg::check
