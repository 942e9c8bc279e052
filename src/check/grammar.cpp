// The grammar: its findings as findings of the rules.
#include "formats/musicxml/grammar.hpp"

#include <algorithm>

#include "check/families.hpp"
#include "formats/musicxml/encoding.hpp"
#include "formats/musicxml/sanitize.hpp"

namespace fifthpeg::check {

namespace {

// The text with no encoding in its declaration: it is in UTF-8, whatever is said there.
std::string without_encoding(std::string_view text) {
  std::string plain(text);
  const std::size_t declaration = text.starts_with("<?xml") ? std::min(text.find("?>"), text.size()) : 0;
  const std::size_t from = text.substr(0, declaration).find("encoding");
  if (from == std::string_view::npos) return plain;
  const std::size_t open = text.find_first_of("\"'", from);
  const std::size_t close = open < declaration ? text.find(text[open], open + 1) : std::string_view::npos;
  if (close < declaration)
    std::fill_n(plain.begin() + static_cast<std::ptrdiff_t>(from), close + 1 - from, ' ');
  return plain;
}

// What is to be judged: the bytes as they are, or where they are not XML for a reason that reading gets over,
// what is read instead; `owned` holds that.
std::string_view judged(std::string_view bytes, const musicxml::Decoded& decoded, std::string& owned,
                        Findings& findings) {
  Report report;
  std::string repaired;
  const std::string_view text = musicxml::sanitize(decoded.text, repaired, report);
  bool broken = false;
  for (const Entry& entry : report.entries()) {
    if (entry.kind != EntryKind::repair) continue;
    broken = true;
    for (const Place& place : entry.places) findings.add("grammar-not-xml", place, entry.text);
  }
  if (!broken && !decoded.repaired) return bytes;
  owned = without_encoding(broken ? text : decoded.text);
  return owned;
}

}  // namespace

bool grammar_rules(std::string_view bytes, const musicxml::Decoded& decoded, std::size_t most,
                   Findings& findings) {
  std::string owned;
  const musicxml::grammar::GrammarVerdict verdict =
      musicxml::grammar::Grammar::of(musicxml::grammar::Grammar::Of::score)
          .check(judged(bytes, decoded, owned, findings), most);
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
