// Edits of a text that leave all else as it is.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "check/findings.hpp"
#include "fifthpeg/check.hpp"

namespace fifthpeg::check {

struct Edit {
  std::size_t at = 0;      // byte
  std::size_t erased = 0;  // bytes from there
  std::string text;        // put there instead
};

// The text with its edits; those at one place in the order given. They must not overlap.
std::string edited(std::string_view text, std::vector<Edit> edits);

// The edits that fix a MusicXML text in UTF-8; `fixes` lists them. ReadError where it cannot be read to its
// end.
std::vector<Edit> musicxml_edits(std::string_view text, const RuleSelection& selection,
                                 std::vector<Fix>& fixes);

}  // namespace fifthpeg::check
