// The words of the help around the list of options.
#pragma once

#include <string_view>

namespace fifthpeg::cli {

struct HelpText {
  std::string_view command;  // empty: of the program
  std::string_view usage;    // stands before the options
  std::string_view after;    // stands after them
};

const HelpText& help_text(std::string_view command);

}  // namespace fifthpeg::cli
