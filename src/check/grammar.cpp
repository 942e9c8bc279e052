// The grammar: its findings as findings of the rules.
#include "formats/musicxml/grammar.hpp"

#include "check/families.hpp"

namespace fifthpeg::check {

bool grammar_rules(std::string_view document, std::size_t most, Findings& findings) {
  const musicxml::grammar::GrammarVerdict verdict =
      musicxml::grammar::Grammar::of(musicxml::grammar::Grammar::Of::score).check(document, most);
  for (const musicxml::grammar::GrammarFinding& found : verdict.findings) {
    Place place;
    place.line = found.line;
    place.part = found.place.part;
    place.measure = found.place.measure;
    std::string text = found.place.inside.empty() ? found.message : found.place.inside + ": " + found.message;
    if (!found.expected.empty()) text += "; " + found.expected + " is allowed there";
    findings.add("grammar-" + std::string(slug(found.fault)), place, std::move(text));
  }
  if (!verdict.judged.empty()) findings.add("grammar-older-version", {}, verdict.judged);
  return verdict.complete;
}

}  // namespace fifthpeg::check
