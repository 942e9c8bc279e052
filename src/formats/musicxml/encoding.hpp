// Bytes of an XML file to UTF-8 that an XML parser can take.
//
// The byte order mark decides; without one, the pattern of the first bytes; then the XML declaration.
// A declaration that cannot be true is reported and read by what the bytes are.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "fifthpeg/report.hpp"

namespace fifthpeg::musicxml {

struct Decoded {
  std::string_view text;  // UTF-8 without byte order mark: into the input, or into `owned`
  std::string owned;
  bool repaired = false;  // the bytes are not what the file says that they are
  std::string encoding;   // "UTF-8", "UTF-16", "ISO-8859-1", ...: what the bytes really were

  Decoded() = default;
  Decoded(const Decoded&) = delete;  // `text` may point into `owned`
  Decoded& operator=(const Decoded&) = delete;
};

// Bytes that are no character of the encoding become U+FFFD and are reported. Throws ReadError for an
// encoding that is not known here, and for UTF-32.
void decode(std::string_view bytes, Decoded& decoded, Report& report);

// The line, counted from 1, on which a byte of a text lies.
std::int64_t line_of(std::string_view text, std::size_t offset);
Place at_line(std::int64_t line);

}  // namespace fifthpeg::musicxml
