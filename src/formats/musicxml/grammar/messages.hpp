// The words of grammar findings.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "formats/musicxml/grammar.hpp"

namespace fifthpeg::musicxml::grammar {

// "a", "a or b", "a, b or c".
std::string listed_or(const std::vector<std::string>& items);

// At most so many bytes, whole characters of UTF-8 only, and "..." where something is left out.
std::string shortened(std::string_view written, std::size_t longest);

// What somebody wrote, fit to be quoted in one line: in quotation marks, cut to a length that can be read,
// line breaks and other controls shown as spaces.
std::string in_quotes(std::string_view written);

// An element as people write it: "<note>". Cut and cleaned as above.
std::string in_tag(std::string_view name);
std::string in_tags(std::vector<std::string> names);  // "<a>, <b> or <c>"

// What the values of xs:string and xs:token are called, and nothing else: any text is one.
constexpr std::string_view any_text = "text";

// A restriction of a number as the grammar writes it; what is not restricted is empty.
struct Bounds {
  std::string base;  // "xs:decimal"
  std::string least;
  std::string above;
  std::string most;
};
std::string describe_bounds(const Bounds& bounds);  // "a whole number from 1 to 16"

// What a type of the grammar (value.color) or of XML Schema (xs:NMTOKEN) means, where its definition would
// not help a person; empty for all others.
std::string_view describe_type(std::string_view type);

// What is wrong with XML that is not well-formed, by libxml2's number for it (xmlParserErrors).
std::string_view describe_xml_error(int code);

// Says that a file which states `version` was checked against MusicXML 4.0; empty for 4.0.
std::string version_note(std::string_view version);

}  // namespace fifthpeg::musicxml::grammar
