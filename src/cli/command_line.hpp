// The command line: its options, their help, and what is wrong with one that makes no sense.
#pragma once

#include "cli/options.hpp"

namespace fifthpeg::cli {

// Throws UsageError, naming the option and what would be right.
Request parse_command_line(int argc, const char* const* argv);

}  // namespace fifthpeg::cli
