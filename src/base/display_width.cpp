#include "base/display_width.hpp"

#include <algorithm>
#include <array>

#include "base/utf8.hpp"

namespace fifthpeg::base {
namespace {

struct Range {
  char32_t first, last;
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
bool in(const std::array<Range, size>& ranges, char32_t code) {
  return std::any_of(ranges.begin(), ranges.end(),
                     [code](const Range& range) { return code >= range.first && code <= range.last; });
}

int width_of(char32_t code) {
  if (code < 0x300) return 1;
  return in(zero_width, code) ? 0 : in(double_width, code) ? 2 : 1;
}

}  // namespace

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
