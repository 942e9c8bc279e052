// The names of styles and of kinds of cost.
#include <array>

#include "base/text.hpp"
#include "fifthpeg/hands.hpp"

namespace fifthpeg {
namespace {

constexpr std::array<std::string_view, 5> style_slugs{"roll", "melodic", "single-string", "clawhammer",
                                                      "auto"};
// What players call them as well (common practice).
struct OtherName {
  std::string_view name;
  Style style;
};
constexpr std::array<OtherName, 5> other_names{{{"rolls", Style::roll},
                                                {"three-finger", Style::roll},
                                                {"3-finger", Style::roll},
                                                {"frailing", Style::clawhammer},
                                                {"single", Style::single_string}}};
constexpr std::array<std::string_view, cost_kinds> kind_names{
    "fretting", "stretch", "fingers", "shift", "ring", "picking", "repeats", "technique", "confinement"};

}  // namespace

std::string_view slug(Style style) {
  return style_slugs.at(static_cast<std::size_t>(style));
}

std::optional<Style> parse_style(std::string_view name) {
  for (std::size_t i = 0; i < style_slugs.size(); ++i) {
    if (base::same_name(style_slugs[i], name)) return static_cast<Style>(i);
  }
  for (const OtherName& other : other_names) {
    if (base::same_name(other.name, name)) return other.style;
  }
  return std::nullopt;
}

std::string_view to_string(CostKind kind) {
  return kind_names.at(static_cast<std::size_t>(kind));
}

}  // namespace fifthpeg
