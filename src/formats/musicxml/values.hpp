// What stands in elements and attributes: text, numbers, note values.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <tinyxml2.h>

#include "base/text.hpp"
#include "fifthpeg/fraction.hpp"
#include "fifthpeg/pitch.hpp"

namespace fifthpeg::musicxml {

using Element = tinyxml2::XMLElement;
using Attribute = tinyxml2::XMLAttribute;

// Calls visit(child, name) for each child element, in order.
template <typename Visit>
void each_child(const Element& parent, Visit visit) {
  for (const Element* child = parent.FirstChildElement(); child != nullptr;
       child = child->NextSiblingElement())
    visit(*child, std::string_view(child->Name()));
}

// The value of an attribute, or empty.
inline std::string_view attribute(const Element& element, const char* name) {
  const char* value = element.Attribute(name);
  return value == nullptr ? std::string_view{} : value;
}

// All the text of an element, CDATA included, comments left out.
std::string text_of(const Element& element);
// The same without white space around it, and without a copy. Only the first run of text is looked at:
// for numbers and words of the standard.
std::string_view token_of(const Element& element);
// That of the first child of a name; empty where there is none.
std::string_view child_token(const Element& parent, const char* name);
using base::trimmed;

// "-3", "+3", " 3 "; also "3.0", which some files write. Nothing if it is no whole number or beyond 10^9.
std::optional<int> whole_number(std::string_view text);
// An exact decimal: "1.5" is 3/2. Nothing if it is none, has more than nine digits after the point, or is
// 10^15 or more.
std::optional<Fraction> decimal(std::string_view text);
bool is_yes(std::string_view text);

// "quarter" is 1/4. The note-type-value of MusicXML 4.0.
std::optional<Fraction> note_value(std::string_view type);
// With augmentation dots: one makes it 3/2, two 7/4. More than eight count as eight.
Fraction dotted(Fraction value, int dots);

std::optional<Step> step(std::string_view letter);

}  // namespace fifthpeg::musicxml
