// What an XML parser without a DTD would trip over or let through: characters that XML forbids, internal
// document type subsets, entities.
#pragma once

#include <string>
#include <string_view>

#include "fifthpeg/report.hpp"

namespace fifthpeg::musicxml {

// Returns the text, or a repaired copy of it in `owned`:
// - a document type declaration becomes an empty comment; nothing that it names is fetched or expanded;
// - processing instructions too, and are reported;
// - characters that XML 1.0 does not have (control characters, U+FFFE, U+FFFF), as bytes or as numeric
//   references, become U+FFFD, and are reported;
// - references to any entity but the five of XML stay as they are written, and are reported as losses;
// - control characters after the last tag are cut off.
// Lines keep their numbers. What becomes a comment keeps its length, unless it is shorter than any comment.
std::string_view sanitize(std::string_view text, std::string& owned, Report& report);

}  // namespace fifthpeg::musicxml
