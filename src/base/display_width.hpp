// How much room text takes in columns of one width.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace fifthpeg::base {

// Columns that a terminal gives to one_line() text: none for combining marks, two for wide characters
// (Unicode Standard Annex 11).
int display_width(std::string_view text);

// one_line() text broken into lines of at most `width` columns (two at least), at spaces where there are any.
std::vector<std::string> wrapped(std::string_view text, int width);

// one_line() items in lines of at most `width` columns, each line ended; broken between items before inside
// of them.
std::string lines_of(const std::vector<std::string>& items, std::string_view between, int width);

}  // namespace fifthpeg::base
