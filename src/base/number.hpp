// Numbers in text.
#pragma once

#include <charconv>
#include <optional>
#include <string_view>

namespace fifthpeg::base {

// The number that a text is, all of it; nothing where it is none or too large.
template <typename Number>
std::optional<Number> number(std::string_view text) {
  Number value{};
  const char* const end = text.data() + text.size();
  const auto [stopped, error] = std::from_chars(text.data(), end, value);
  return error == std::errc{} && stopped == end ? std::optional(value) : std::nullopt;
}

}  // namespace fifthpeg::base
