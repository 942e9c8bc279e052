// Which option helps: what the program adds to what the library says, by code. The library knows no options.
#pragma once

#include <string>

#include "fifthpeg/check.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/report.hpp"

namespace fifthpeg::cli {

// What is wrong, and the option that helps.
std::string with_hint(const Error& error);
Entry with_hint(Entry entry);
// How to fix what the rule finds.
std::string with_hint(const Rule& rule);

}  // namespace fifthpeg::cli
