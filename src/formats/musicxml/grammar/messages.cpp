#include "formats/musicxml/grammar/messages.hpp"

#include <algorithm>
#include <array>
#include <libxml/xmlerror.h>
#include <utility>

#include "base/utf8.hpp"

namespace fifthpeg::musicxml::grammar {

std::string_view slug(GrammarFault fault) {
  constexpr std::array<std::string_view, 13> slugs = {
      "too-much",          "not-xml",           "wrong-root",      "unknown-element",
      "misplaced-element", "missing-element",   "unexpected-text", "bad-value",
      "unknown-attribute", "missing-attribute", "repeated-id",     "dangling-reference",
      "unfetched-entity"};
  return slugs.at(static_cast<std::size_t>(fault));
}

std::string listed_or(const std::vector<std::string>& items) {
  std::string text;
  for (std::size_t i = 0; i < items.size(); ++i) {
    if (i > 0) text += i + 1 == items.size() ? " or " : ", ";
    text += items[i];
  }
  return text;
}

std::string shortened(std::string_view written, std::size_t longest) {
  if (written.size() <= longest) return std::string(written);
  // The character of UTF-8 that was cut is left out whole.
  while (longest > 0 && base::is_continuation(written[longest])) --longest;
  return std::string(written.substr(0, longest)) + "...";
}

std::string in_quotes(std::string_view written) {
  std::string text = '"' + shortened(written, 60) + '"';
  std::replace_if(
      text.begin(), text.end(), [](unsigned char letter) { return letter < 0x20U || letter == 0x7FU; }, ' ');
  return text;
}

std::string in_tag(std::string_view name) {
  std::string text = in_quotes(name);
  text.front() = '<';
  text.back() = '>';
  return text;
}

std::string in_tags(std::vector<std::string> names) {
  for (std::string& name : names) name = in_tag(name);
  return listed_or(names);
}

std::string describe_bounds(const Bounds& bounds) {
  std::string text;
  std::string_view least = bounds.least;
  if (bounds.base == "xs:positiveInteger" && least.empty()) least = "1";
  if (bounds.base == "xs:nonNegativeInteger" && least.empty()) least = "0";
  if (bounds.base == "xs:decimal") {
    text = "a number";
  } else if (bounds.base == "xs:integer" || !least.empty()) {
    text = "a whole number";
  } else {
    return std::string(any_text);
  }
  if (!bounds.above.empty()) text.append(" above ").append(bounds.above);
  if (!least.empty()) text.append(" from ").append(least);
  if (!bounds.most.empty()) text.append(least.empty() ? " up to " : " to ").append(bounds.most);
  return text;
}

std::string_view describe_type(std::string_view type) {
  using Row = std::pair<std::string_view, std::string_view>;
  static constexpr Row table[] = {
      {"xs:string", any_text},
      {"xs:token", any_text},
      {"xs:decimal", "a number"},
      {"xs:integer", "a whole number"},
      {"xs:positiveInteger", "a whole number from 1"},
      {"xs:nonNegativeInteger", "a whole number from 0"},
      {"xs:anyURI", "an address"},
      {"xs:NMTOKEN", "a name of letters, digits, hyphens, underscores, full stops and colons"},
      {"xs:ID",
       "a name that no other element has, of letters, digits, hyphens, underscores and full stops, a "
       "letter or underscore first"},
      {"xs:IDREF", "the id of an element of this file"},
      {"value.measure-text", "text that is not empty"},
      {"value.comma-list", "text, or several texts with one comma between them"},
      {"value.color", "a color as #RRGGBB or #AARRGGBB, in digits and the capitals A to F"},
      {"value.date", "a date as year-month-day, such as 2024-05-31"},
      {"value.time-only", "numbers from 1 with commas between them, such as 1,2"},
      {"value.ending-numbers", "numbers from 1 with commas between them, such as 1,2, or only spaces"},
      {"value.language", "a language code, such as en or de-AT, or nothing"},
      {"value.glyph", "the name of a SMuFL glyph"},
      {"value.glyph-accidental",
       "the name of a SMuFL glyph that starts with acc, medRenFla, medRenNatura, medRenShar or "
       "kievanAccidental"},
      {"value.glyph-coda", "the name of a SMuFL glyph that starts with coda"},
      {"value.glyph-segno", "the name of a SMuFL glyph that starts with segno"},
      {"value.glyph-lyrics", "the name of a SMuFL glyph that starts with lyrics"},
      {"value.glyph-pictogram", "the name of a SMuFL glyph that starts with pict"},
      {"value.glyph-wavy-line",
       "the name of a SMuFL glyph that starts with wiggle, or with guitar and ends with VibratoStroke"},
  };
  const auto* const row =
      std::find_if(std::begin(table), std::end(table), [type](const Row& r) { return r.first == type; });
  return row == std::end(table) ? std::string_view{} : row->second;
}

std::string_view describe_xml_error(int code) {
  struct Row {
    std::array<int, 4> codes;  // those that are left over are 0, which stands for no error
    std::string_view words;
  };
  static constexpr auto table = std::to_array<Row>({
      {{XML_ERR_DOCUMENT_EMPTY, XML_ERR_DOCUMENT_START}, "the file is empty, or does not start as XML does"},
      {{XML_ERR_DOCUMENT_END}, "there is something after the end of the outermost element"},
      {{XML_ERR_TAG_NAME_MISMATCH}, "an end tag does not match the start tag that is still open"},
      {{XML_ERR_TAG_NOT_FINISHED}, "the file ends in the middle of an element"},
      {{XML_ERR_GT_REQUIRED, XML_ERR_SPACE_REQUIRED, XML_ERR_LTSLASH_REQUIRED},
       "a tag is not closed as it should be"},
      {{XML_ERR_NAME_REQUIRED},
       "a < or & is not followed by a name; written as text they are &lt; and &amp;"},
      {{XML_ERR_ENTITYREF_SEMICOL_MISSING, XML_ERR_ENTITYREF_NO_NAME},
       "an & is not followed by a name and a semicolon; as text it is &amp;"},
      {{XML_ERR_UNDECLARED_ENTITY}, "an entity (&name;) is used that this file does not declare"},
      {{XML_ERR_ENTITY_LOOP}, "an entity expands too far and was not expanded to its end"},
      {{XML_ERR_ATTRIBUTE_NOT_STARTED}, "an attribute's value is not in quotation marks"},
      {{XML_ERR_ATTRIBUTE_NOT_FINISHED}, "an attribute's value has no closing quotation mark"},
      {{XML_ERR_ATTRIBUTE_WITHOUT_VALUE}, "an attribute has no value"},
      {{XML_ERR_ATTRIBUTE_REDEFINED}, "an attribute stands twice on one element"},
      {{XML_ERR_LT_IN_ATTRIBUTE}, "there is a < in an attribute's value; it is written &lt;"},
      {{XML_ERR_INVALID_CHAR, XML_ERR_INVALID_CHARREF, XML_ERR_INVALID_HEX_CHARREF,
        XML_ERR_INVALID_DEC_CHARREF},
       "there is a character that XML does not allow"},
      {{XML_ERR_INVALID_ENCODING, XML_I18N_CONV_FAILED},
       "there are bytes not valid in the encoding that the file states, or in UTF-8 if it states none"},
      {{XML_ERR_UNKNOWN_ENCODING, XML_ERR_UNSUPPORTED_ENCODING}, "the file states an unknown encoding"},
      {{XML_ERR_XMLDECL_NOT_FINISHED, XML_ERR_VERSION_MISSING, XML_ERR_RESERVED_XML_NAME},
       "the XML declaration is wrong, or does not stand first in the file"},
      {{XML_ERR_COMMENT_NOT_FINISHED, XML_ERR_HYPHEN_IN_COMMENT},
       "a comment is not closed, or has two hyphens inside"},
      {{XML_ERR_DOCTYPE_NOT_FINISHED}, "the DOCTYPE is not closed"},
      {{XML_ERR_CDATA_NOT_FINISHED}, "a CDATA section is not closed"},
      {{XML_NS_ERR_UNDEFINED_NAMESPACE}, "a name has a prefix that the file does not declare"},
  });
  const auto* const row = std::find_if(table.begin(), table.end(), [code](const Row& one) {
    return code != 0 && std::find(one.codes.begin(), one.codes.end(), code) != one.codes.end();
  });
  return row == table.end() ? "this is not well-formed XML" : row->words;
}

std::string version_note(std::string_view version) {
  if (version == "4.0") return {};
  constexpr std::array<std::string_view, 6> older = {"1.0", "1.1", "2.0", "3.0", "3.1", "4.0"};
  if (std::find(older.begin(), older.end(), version) != older.end())
    return "the file is MusicXML " + std::string(version) + "; it was checked against 4.0";
  return "the file says that it is MusicXML " + in_quotes(version) +
         ", an unknown version; it was checked against 4.0";
}

}  // namespace fifthpeg::musicxml::grammar
