#include "check/document.hpp"

#include <algorithm>
#include <cstring>
#include <libxml/SAX2.h>
#include <libxml/parser.h>
#include <memory>
#include <new>

#include "base/text.hpp"

namespace fifthpeg::check {
namespace {

constexpr std::size_t most_elements = 2'000'000;  // of one measure, or of the head

std::string_view view(const xmlChar* text) {
  return text == nullptr ? std::string_view{} : reinterpret_cast<const char*>(text);
}

struct FreeParser {
  void operator()(xmlParserCtxt* parser) const {
    if (parser->myDoc != nullptr) xmlFreeDoc(parser->myDoc);
    parser->myDoc = nullptr;
    xmlFreeParserCtxt(parser);
  }
};

class Walker {
 public:
  Walker(std::string_view text, DocumentVisitor& visitor) : text_(text), visitor_(visitor) {}

  WalkEnd run() {
    xmlSAXHandler sax = {};
    sax.initialized = XML_SAX2_MAGIC;
    sax.startElementNs = start_element;
    sax.endElementNs = end_element;
    sax.characters = characters;
    sax.ignorableWhitespace = characters;
    sax.cdataBlock = characters;
    sax.serror = [](void*, xmlError*) {};
    std::string_view rest = text_;
    const std::unique_ptr<xmlParserCtxt, FreeParser> parser(
        xmlCreateIOParserCtxt(&sax, this, read, nullptr, &rest, XML_CHAR_ENCODING_UTF8));
    if (parser == nullptr) throw std::bad_alloc();
    parser_ = parser.get();
    xmlCtxtUseOptions(parser_, XML_PARSE_NONET | XML_PARSE_IGNORE_ENC);
    xmlParseDocument(parser_);
    end_.complete = parser_->wellFormed == 1 && !failed_;
    end_.line = parser_->input == nullptr ? 0 : parser_->input->line;
    if (!head_given_ && !tree_.empty()) give_head();
    return end_;
  }

 private:
  static Walker& self(void* context) { return *static_cast<Walker*>(context); }
  static int read(void* context, char* buffer, int length) {
    std::string_view& rest = *static_cast<std::string_view*>(context);
    const std::size_t count = std::min(rest.size(), static_cast<std::size_t>(std::max(length, 0)));
    std::memcpy(buffer, rest.data(), count);
    rest.remove_prefix(count);
    return static_cast<int>(count);
  }
  static void start_element(void* context, const xmlChar* name, const xmlChar*, const xmlChar*, int,
                            const xmlChar**, int count, int, const xmlChar** attributes) {
    self(context).guarded([&](Walker& walker) { walker.start(view(name), count, attributes); });
  }
  static void end_element(void* context, const xmlChar*, const xmlChar*, const xmlChar*) {
    self(context).guarded([](Walker& walker) { walker.end(); });
  }
  static void characters(void* context, const xmlChar* text, int length) {
    self(context).guarded([&](Walker& walker) {
      walker.text({reinterpret_cast<const char*>(text), static_cast<std::size_t>(length)});
    });
  }

  // No exception may pass through libxml2.
  template <typename Work>
  void guarded(Work work) {
    if (failed_) return;
    try {
      work(*this);
    } catch (const std::exception&) {
      failed_ = true;
      xmlStopParser(parser_);
    }
  }

  std::size_t offset() const {
    const xmlParserInput& input = *parser_->input;
    return std::min(
        static_cast<std::size_t>(input.consumed) + static_cast<std::size_t>(input.cur - input.base),
        text_.size());
  }

  void start(std::string_view name, int count, const xmlChar** attributes) {
    ++depth_;
    if (depth_ == 1) {
      end_.score = name == "score-partwise" || name == "score-timewise";
      timewise_ = name == "score-timewise";
    }
    const std::string_view outer = timewise_ ? "measure" : "part";
    const std::string_view inner = timewise_ ? "part" : "measure";
    if (depth_ == 2 && end_.score && name == outer) {
      if (!head_given_) give_head();
      outer_ = element(name, count, attributes);
      in_outer_ = true;
      return;
    }
    if (in_outer_ && depth_ == 3 && name != inner) return;  // of no use here; the grammar tells
    if (head_given_ && !in_outer_) return;                  // behind the last part
    if (in_outer_ && depth_ > 3 && open_ == Element::none) return;
    auto& elements = tree_.elements();
    if (elements.size() >= most_elements) return;
    const std::size_t index = elements.size();
    elements.push_back(element(name, count, attributes));
    elements[index].parent = open_;
    if (open_ != Element::none) {
      Element& parent = elements[open_];
      if (parent.first == Element::none) {
        parent.first = index;
      } else {
        elements[parent.last].next = index;
      }
      parent.last = index;
    }
    open_ = index;
    open_depth_ = depth_;
  }

  Element element(std::string_view name, int count, const xmlChar** attributes) const {
    Element made;
    made.name = name;
    made.line = parser_->input->line;
    made.tag_end = offset();
    const std::size_t begin = made.tag_end == 0 ? std::string_view::npos : text_.rfind('<', made.tag_end - 1);
    made.begin = begin == std::string_view::npos ? made.tag_end : begin;
    made.end = made.tag_end;
    for (int i = 0; i < count; ++i) {
      const xmlChar** one = attributes + std::ptrdiff_t{5} * i;
      if (one[1] != nullptr) continue;  // xml:lang and the like
      made.attributes.emplace_back(view(one[0]), std::string(reinterpret_cast<const char*>(one[3]),
                                                             static_cast<std::size_t>(one[4] - one[3])));
    }
    return made;
  }

  void end() {
    if (open_ != Element::none && open_depth_ == depth_) {
      auto& elements = tree_.elements();
      elements[open_].end = offset();
      open_ = elements[open_].parent;
      --open_depth_;
      if (open_ == Element::none && in_outer_) give_measure();
    }
    if (in_outer_ && depth_ == 2) in_outer_ = false;
    --depth_;
  }

  void text(std::string_view written) {
    if (open_ != Element::none && open_depth_ == depth_) tree_.elements()[open_].text.append(written);
  }

  void give_head() {
    head_given_ = true;
    visitor_.head(tree_);
    clear();
  }

  void give_measure() {
    const Element& inner = tree_.root();
    const Element& part = timewise_ ? inner : outer_;
    const Element& label = timewise_ ? outer_ : inner;
    visitor_.measure(attribute(part, "id"), label, tree_);
    clear();
  }

  void clear() {
    tree_.elements().clear();
    open_ = Element::none;
    open_depth_ = 0;
  }

  std::string_view text_;
  DocumentVisitor& visitor_;
  xmlParserCtxt* parser_ = nullptr;
  WalkEnd end_;
  Tree tree_;
  Element outer_;
  std::size_t open_ = Element::none;
  int open_depth_ = 0;
  int depth_ = 0;
  bool timewise_ = false;
  bool in_outer_ = false;
  bool head_given_ = false;
  bool failed_ = false;
};

}  // namespace

const Element* Tree::child(const Element& parent, std::string_view name) const {
  for (std::size_t i = parent.first; i != Element::none; i = elements_[i].next) {
    if (elements_[i].name == name) return &elements_[i];
  }
  return nullptr;
}

std::string_view Tree::child_text(const Element& parent, std::string_view name) const {
  const Element* found = child(parent, name);
  return found == nullptr ? std::string_view{} : trimmed_text(*found);
}

std::string_view trimmed_text(const Element& element) {
  return base::trimmed(element.text);
}

std::string_view attribute(const Element& element, std::string_view name) {
  for (const auto& [key, value] : element.attributes) {
    if (key == name) return value;
  }
  return {};
}

bool has_attribute(const Element& element, std::string_view name) {
  return std::any_of(element.attributes.begin(), element.attributes.end(),
                     [name](const auto& one) { return one.first == name; });
}

WalkEnd walk(std::string_view text, DocumentVisitor& visitor) {
  xmlInitParser();
  return Walker(text, visitor).run();
}

}  // namespace fifthpeg::check
