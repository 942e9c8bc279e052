// The papers that come with the program, made from the words and options of its help when it is built.
#pragma once

#include <string>

namespace fifthpeg::cli {

// The manual page fifthpeg(1), for groff's man macros.
std::string man_page();
// What bash completes after `fifthpeg`: commands, options, their values and files.
std::string bash_completion();

}  // namespace fifthpeg::cli
