#include "base/display_width.hpp"

#include <algorithm>
#include <array>
#include <cstdint>

namespace fifthpeg::base {
namespace {

struct Character {
  std::uint32_t code = 0;
  std::size_t length = 0;  // in bytes; 0: no UTF-8
};

// RFC 3629: no overlong forms, no surrogates, nothing above 10FFFF.
Character first_character(std::string_view text) {
  const auto byte = [&](std::size_t i) {
    return static_cast<std::uint32_t>(static_cast<unsigned char>(text[i]));
  };
  const std::uint32_t lead = byte(0);
  if (lead < 0x80) return {lead, 1};
  const std::size_t length = lead >= 0xf0 ? 4 : lead >= 0xe0 ? 3 : 2;
  if (lead < 0xc2 || lead > 0xf4 || text.size() < length) return {};
  std::uint32_t code = lead & (0xffU >> (length + 1));
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(i) & 0xc0U) != 0x80) return {};
    code = code << 6U | (byte(i) & 0x3fU);
  }
  constexpr std::array<std::uint32_t, 5> smallest{0, 0, 0x80, 0x800, 0x10000};
  const bool surrogate = code >= 0xd800 && code <= 0xdfff;
  if (code < smallest.at(length) || code > 0x10ffff || surrogate) return {};
  return {code, length};
}

struct Range {
  std::uint32_t first, last;
};
// Blocks of combining and invisible characters.
constexpr std::array<Range, 9> zero_width{{{0x0300, 0x036f},
                                           {0x0483, 0x0489},
                                           {0x0591, 0x05bd},
                                           {0x064b, 0x065f},
                                           {0x1ab0, 0x1aff},
                                           {0x200b, 0x200f},
                                           {0x20d0, 0x20ff},
                                           {0xfe00, 0xfe0f},
                                           {0xfe20, 0xfe2f}}};
// Blocks of East Asian width W and F (Unicode Standard Annex 11), and pictographs.
constexpr std::array<Range, 11> double_width{{{0x1100, 0x115f},
                                              {0x2e80, 0x303e},
                                              {0x3041, 0xa4cf},
                                              {0xa960, 0xa97f},
                                              {0xac00, 0xd7a3},
                                              {0xf900, 0xfaff},
                                              {0xfe30, 0xfe6f},
                                              {0xff00, 0xff60},
                                              {0xffe0, 0xffe6},
                                              {0x1f300, 0x1faff},
                                              {0x20000, 0x3fffd}}};

template <std::size_t size>
bool in(const std::array<Range, size>& ranges, std::uint32_t code) {
  return std::any_of(ranges.begin(), ranges.end(),
                     [code](const Range& range) { return code >= range.first && code <= range.last; });
}

int width_of(std::uint32_t code) {
  if (code < 0x300) return 1;
  return in(zero_width, code) ? 0 : in(double_width, code) ? 2 : 1;
}

bool is_control(std::uint32_t code) {
  return code < 0x20 || (code >= 0x7f && code < 0xa0) || code == 0x2028 || code == 0x2029;
}

}  // namespace

std::string one_line(std::string_view text) {
  std::string result;
  result.reserve(text.size());
  while (!text.empty()) {
    const Character character = first_character(text);
    if (character.length == 0) {
      result += '?';
      text.remove_prefix(1);
      continue;
    }
    if (is_control(character.code)) {
      result += ' ';
    } else {
      result += text.substr(0, character.length);
    }
    text.remove_prefix(character.length);
  }
  return result;
}

int display_width(std::string_view text) {
  int width = 0;
  while (!text.empty()) {
    const Character character = first_character(text);
    width += character.length == 0 ? 1 : width_of(character.code);
    text.remove_prefix(std::max<std::size_t>(1, character.length));
  }
  return width;
}

std::vector<std::string> wrapped(std::string_view text, int width) {
  std::vector<std::string> lines;
  while (!text.empty()) {
    int used = 0;
    std::size_t at = 0;
    std::size_t space = std::string_view::npos;  // the last one that fits
    while (at < text.size()) {
      const Character character = first_character(text.substr(at));
      used += character.length == 0 ? 1 : width_of(character.code);
      if (text[at] == ' ') space = at;
      if (used > width) break;
      at += std::max<std::size_t>(1, character.length);
    }
    if (at == text.size()) {
      lines.emplace_back(text);
      break;
    }
    const bool at_space = space != std::string_view::npos && space > 0;
    lines.emplace_back(text.substr(0, at_space ? space : std::max<std::size_t>(at, 1)));
    text.remove_prefix(at_space ? space + 1 : std::max<std::size_t>(at, 1));
  }
  return lines;
}

std::string lines_of(const std::vector<std::string>& items, std::string_view between, int width) {
  std::string out;
  std::string line;
  const auto flush = [&] {
    for (const std::string& part : wrapped(line, width)) out += part + "\n";
    line.clear();
  };
  for (const std::string& item : items) {
    const int needed = display_width(line) + display_width(between) + display_width(item);
    if (!line.empty() && needed > width) {
      // What joins two items stays with the first, without its blanks.
      line += between.substr(0, between.find_last_not_of(' ') + 1);
      flush();
    }
    if (!line.empty()) line += between;
    line += item;
  }
  flush();
  return out;
}

}  // namespace fifthpeg::base
