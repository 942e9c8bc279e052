#include "base/utf8.hpp"

#include <array>
#include <cstdint>
#include <cstring>

namespace fifthpeg::base {

Character first_character(std::string_view text) {
  const auto lead = static_cast<unsigned char>(text.front());
  if (lead < 0x80) return {lead, 1};
  const std::size_t length = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
  if (lead < 0xC2 || lead > 0xF4 || text.size() < length) return {};
  char32_t code = lead & (0xFFU >> (length + 1));
  for (std::size_t i = 1; i < length; ++i) {
    if (!is_continuation(text[i])) return {};
    code = code << 6U | (static_cast<unsigned char>(text[i]) & 0x3FU);
  }
  constexpr std::array<char32_t, 5> smallest{0, 0, 0x80, 0x800, 0x10000};
  const bool surrogate = code >= 0xD800 && code <= 0xDFFF;
  if (code < smallest.at(length) || code > 0x10FFFF || surrogate) return {};
  return {code, length};
}

std::size_t skip_ascii(std::string_view text, std::size_t from) {
  constexpr std::uint64_t high_bits = 0x8080808080808080U;
  std::size_t at = from;
  for (std::uint64_t eight = 0; at + sizeof eight <= text.size(); at += sizeof eight) {
    std::memcpy(&eight, text.data() + at, sizeof eight);
    if ((eight & high_bits) != 0) break;
  }
  while (at < text.size() && static_cast<unsigned char>(text[at]) < 0x80) ++at;
  return at;
}

bool is_utf8(std::string_view text) {
  for (std::size_t at = skip_ascii(text, 0); at < text.size(); at = skip_ascii(text, at)) {
    const std::size_t length = first_character(text.substr(at)).length;
    if (length == 0) return false;
    at += length;
  }
  return true;
}

void append_utf8(std::string& text, char32_t code) {
  const auto add = [&text](char32_t byte) { text += static_cast<char>(byte); };
  if (code < 0x80) {
    add(code);
    return;
  }
  unsigned shift = code < 0x800 ? 6 : code < 0x10000 ? 12 : 18;
  add((shift == 6 ? 0xC0U : shift == 12 ? 0xE0U : 0xF0U) | code >> shift);
  while (shift > 0) {
    shift -= 6;
    add(0x80U | (code >> shift & 0x3FU));
  }
}

}  // namespace fifthpeg::base
