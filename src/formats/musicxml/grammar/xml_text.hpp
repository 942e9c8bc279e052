// The text that libxml2 hands over, of which it says by a null pointer that there is none.
#pragma once

#include <libxml/xmlstring.h>
#include <string_view>

namespace fifthpeg::musicxml::grammar {

inline std::string_view view(const char* text) {
  return text == nullptr ? std::string_view{} : text;
}
inline std::string_view view(const xmlChar* text) {
  return view(reinterpret_cast<const char*>(text));
}

}  // namespace fifthpeg::musicxml::grammar
