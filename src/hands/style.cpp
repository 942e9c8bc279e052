// The names of styles and of kinds of cost.
#include <array>

#include "fifthpeg/hands.hpp"

namespace fifthpeg {
namespace {

constexpr std::array<std::string_view, 5> style_slugs{"roll", "melodic", "single-string", "clawhammer",
                                                      "auto"};
constexpr std::array<std::string_view, cost_kinds> kind_names{
    "fretting", "stretch", "fingers", "shift", "ring", "picking", "repeats", "technique", "confinement"};

}  // namespace

std::string_view slug(Style style) {
  return style_slugs.at(static_cast<std::size_t>(style));
}

std::optional<Style> parse_style(std::string_view slug) {
  for (std::size_t i = 0; i < style_slugs.size(); ++i) {
    if (style_slugs[i] == slug) return static_cast<Style>(i);
  }
  return std::nullopt;
}

std::string_view to_string(CostKind kind) {
  return kind_names.at(static_cast<std::size_t>(kind));
}

}  // namespace fifthpeg
