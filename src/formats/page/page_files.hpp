// The style, the program and the controls of a page: the .css, .js and .html of this folder, compiled in.
#pragma once

#include <string_view>

namespace fifthpeg::page {

struct PageFile {
  std::string_view name;  // "player.js"
  std::string_view text;
  std::string_view sha256;  // of the text, in hexadecimal
};

// Throws std::out_of_range for a name that is not there.
const PageFile& page_file(std::string_view name);

}  // namespace fifthpeg::page
