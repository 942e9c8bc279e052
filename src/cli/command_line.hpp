// The command line: its options, their help, and what is wrong with one that makes no sense.
#pragma once

#include <string>
#include <vector>

#include "cli/options.hpp"

namespace fifthpeg::cli {

// Throws UsageError, naming the option and what would be right.
Request parse_command_line(int argc, const char* const* argv);

// An option as `--help` lists it; the manual page and the completion are made from the same.
struct OptionText {
  std::string short_name;  // "-o", or empty
  std::string name;        // "--output"
  std::string value;       // what stands for its value, "OUT"; empty for a flag
  std::string description;
  std::string group;  // the heading that it stands under
};
// The options of a command, or of the program itself where the name is empty.
std::vector<OptionText> option_texts(const std::string& command);

}  // namespace fifthpeg::cli
