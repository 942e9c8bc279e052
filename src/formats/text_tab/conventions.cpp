#include "formats/text_tab/conventions.hpp"

#include "base/text.hpp"

namespace fifthpeg::text_tab {

Sign explanation_of(PickingFinger finger) {
  constexpr std::array<Sign, 6> signs{Sign::count,       Sign::count,         Sign::count,
                                      Sign::ring_finger, Sign::little_finger, Sign::nail};
  return signs.at(static_cast<std::size_t>(finger));
}

bool is_plain_title(std::string_view text) {
  constexpr std::size_t longest = 100;
  if (text.empty() || text.size() > longest || text != base::trimmed(text)) return false;
  constexpr std::array<std::string_view, 4> entries{"capo", "tun", "key", "time"};
  for (const std::string_view entry : entries)
    if (base::starts_with_ignoring_case(text, entry)) return false;
  const auto colon = text.find(':');
  const bool entry = colon != std::string_view::npos && text.find(' ') > colon;
  return !entry && text.find("  ") == std::string_view::npos &&
         std::string_view(",.:;").find(text.back()) == std::string_view::npos;
}

}  // namespace fifthpeg::text_tab
