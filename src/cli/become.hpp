// Commands that are programs of their own, since their libraries take longer to load than a lick to convert.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace fifthpeg::cli {

// Becomes the program of that name beside this one, with the same words of the command line. Throws
// UsageError where it cannot be started: `what` it does, such as "draws sheets".
[[noreturn]] void become(std::string_view program, std::string_view what, std::vector<std::string> words);

}  // namespace fifthpeg::cli
