// UTF-8 as RFC 3629 has it: no overlong forms, no surrogates, nothing above U+10FFFF.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace fifthpeg::base {

inline constexpr std::string_view replacement_character = "\xEF\xBF\xBD";  // U+FFFD

struct Character {
  char32_t code = 0;
  std::size_t length = 0;  // in bytes; 0: not UTF-8
};

// The character at the front of a text that is not empty.
Character first_character(std::string_view text);

bool is_utf8(std::string_view text);

// A byte that is not the first of its character.
inline bool is_continuation(char byte) {
  return (static_cast<unsigned char>(byte) & 0xC0U) == 0x80U;
}

// The first byte from `from` on that is not ASCII; the text's size if there is none.
std::size_t skip_ascii(std::string_view text, std::size_t from);

void append_utf8(std::string& text, char32_t code);

}  // namespace fifthpeg::base
