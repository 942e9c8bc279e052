#include "base/text.hpp"

#include <algorithm>

#include "base/utf8.hpp"

namespace fifthpeg::base {
namespace {

// C0, DEL, C1; the separators of lines and paragraphs.
bool is_control(char32_t code) {
  return code < 0x20 || (code >= 0x7F && code < 0xA0) || code == 0x2028 || code == 0x2029;
}

// The bidirectional controls of Unicode Standard Annex 9.
bool turns_direction(char32_t code) {
  return code == 0x061C || code == 0x200E || code == 0x200F || (code >= 0x202A && code <= 0x202E) ||
         (code >= 0x2066 && code <= 0x2069);
}

// `shown` gives what a character is replaced by, 0 for itself.
template <typename Shown>
std::string cleaned(std::string_view text, Shown shown) {
  std::string result;
  result.reserve(text.size());
  while (!text.empty()) {
    const Character character = first_character(text);
    const char instead = character.length == 0 ? '?' : shown(character.code);
    const std::size_t length = std::max<std::size_t>(1, character.length);
    if (instead == 0) {
      result += text.substr(0, length);
    } else {
      result += instead;
    }
    text.remove_prefix(length);
  }
  return result;
}

}  // namespace

std::string_view trimmed(std::string_view text) {
  const auto is_blank = [](char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; };
  while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && is_blank(text.back())) text.remove_suffix(1);
  return text;
}

char lower_case(char letter) {
  return letter >= 'A' && letter <= 'Z' ? static_cast<char>(letter - 'A' + 'a') : letter;
}

char upper_case(char letter) {
  return letter >= 'a' && letter <= 'z' ? static_cast<char>(letter - 'a' + 'A') : letter;
}

std::string lower_case(std::string_view text) {
  std::string result(text);
  for (char& letter : result) letter = lower_case(letter);
  return result;
}

std::string upper_case(std::string_view text) {
  std::string result(text);
  for (char& letter : result) letter = upper_case(letter);
  return result;
}

bool same_ignoring_case(std::string_view a, std::string_view b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](char x, char y) { return lower_case(x) == lower_case(y); });
}

bool same_name(std::string_view a, std::string_view b) {
  const auto bare = [](std::string_view text) {
    std::string word = lower_case(text);
    std::erase_if(word, [](char letter) { return letter == '-' || letter == '_' || letter == ' '; });
    return word;
  };
  return bare(a) == bare(b);
}

bool starts_with_ignoring_case(std::string_view text, std::string_view start) {
  return same_ignoring_case(text.substr(0, start.size()), start);
}

bool ends_with_ignoring_case(std::string_view text, std::string_view end) {
  return text.size() >= end.size() && same_ignoring_case(text.substr(text.size() - end.size()), end);
}

std::string counted(std::uint64_t count, std::string_view noun) {
  return std::to_string(count) + " " + std::string(noun) + (count == 1 ? "" : "s");
}

bool is_safe_to_show(char32_t code) {
  return !is_control(code) && !turns_direction(code);
}

std::string one_line(std::string_view text) {
  return cleaned(text, [](char32_t code) { return is_safe_to_show(code) ? '\0' : ' '; });
}

std::string printable(std::string_view text) {
  return cleaned(text, [](char32_t code) { return is_safe_to_show(code) ? '\0' : '?'; });
}

std::string printable_lines(std::string_view text) {
  return cleaned(text, [](char32_t code) { return is_safe_to_show(code) || code == '\n' ? '\0' : '?'; });
}

}  // namespace fifthpeg::base
