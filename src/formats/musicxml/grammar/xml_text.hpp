// Text between libxml2, which says by a null pointer that there is none, and this library.
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

// What libxml2 calls to read: `context` points to the text that is left.
inline int read_text(void* context, char* buffer, int length) {
  std::string_view& rest = *static_cast<std::string_view*>(context);
  const std::size_t count = rest.copy(buffer, static_cast<std::size_t>(length));
  rest.remove_prefix(count);
  return static_cast<int>(count);
}

}  // namespace fifthpeg::musicxml::grammar
