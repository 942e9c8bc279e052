#include "formats/musicxml/grammar.hpp"

#include <unordered_set>

#include "formats/musicxml/grammar/compile.hpp"
#include "formats/musicxml/grammar/run.hpp"
#include "formats/musicxml/grammar/text.hpp"

namespace fifthpeg::musicxml::grammar {

bool is_name(std::string_view name) {
  static const auto names = [] {
    std::unordered_set<std::string_view> found;
    constexpr std::string_view before = " name=\"";
    const std::string_view text = grammar_text("musicxml.xsd");
    for (std::size_t at = text.find(before); at != std::string_view::npos; at = text.find(before, at)) {
      at += before.size();
      found.insert(text.substr(at, text.find('"', at) - at));
    }
    return found;
  }();
  return names.contains(name);  // a type's name has a full stop in it: no other name does
}

Grammar::Grammar(Of what) : compiled_(std::make_unique<const Compiled>(what)) {}

Grammar::~Grammar() = default;

const Grammar& Grammar::of(Of what) {
  // Two of them, each compiled when it is first asked for; the language sees to it that it happens once. They
  // stay to the end of the program: to take apart all that libxml2 made takes a tenth as long as to make it.
  if (what == Of::container) {
    static const Grammar* const container = std::make_unique<const Grammar>(Of::container).release();
    return *container;
  }
  static const Grammar* const score = std::make_unique<const Grammar>(Of::score).release();
  return *score;
}

GrammarVerdict Grammar::check(std::string_view document, std::size_t kept) const {
  return GrammarRun(*compiled_->vocabulary, *compiled_->schema, compiled_->roots, kept).check(document);
}

}  // namespace fifthpeg::musicxml::grammar
