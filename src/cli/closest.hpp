// What somebody may have meant to type.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace fifthpeg::cli {

// The word that takes the fewest mistakes to get from: letters left out, put in, changed or swapped. Nothing
// where more than a third of the letters would be wrong.
std::optional<std::string> closest(std::string_view typed, const std::vector<std::string>& words);

}  // namespace fifthpeg::cli
