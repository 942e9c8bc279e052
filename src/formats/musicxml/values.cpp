#include "formats/musicxml/values.hpp"

#include <algorithm>

#include "engraving/note_value.hpp"
#include "formats/musicxml/decimal.hpp"
#include "formats/musicxml/names.hpp"

namespace fifthpeg::musicxml {
namespace {

constexpr std::int64_t least_beyond = 1'000'000'000'000'000;
constexpr std::size_t most_decimals = 9;

}  // namespace

std::string text_of(const Element& element) {
  std::string text;
  for (const auto* node = element.FirstChild(); node != nullptr; node = node->NextSibling()) {
    if (node->ToText() != nullptr) text += node->Value();
  }
  return text;
}

std::string_view token_of(const Element& element) {
  for (const auto* node = element.FirstChild(); node != nullptr; node = node->NextSibling()) {
    if (node->ToText() != nullptr) return trimmed(node->Value());
  }
  return {};
}

std::string_view child_token(const Element& parent, const char* name) {
  const Element* const child = parent.FirstChildElement(name);
  return child == nullptr ? std::string_view{} : token_of(*child);
}

std::optional<Fraction> decimal(std::string_view text) {
  text = trimmed(text);
  const bool negative = text.starts_with('-');
  if (negative || text.starts_with('+')) text.remove_prefix(1);
  const std::size_t point = std::min(text.find('.'), text.size());
  if (point < text.size()) text = text.substr(0, std::max(text.find_last_not_of('0'), point) + 1);
  if (text.size() > point + 1 + most_decimals) return std::nullopt;
  const auto value = fraction_of_decimal(text);
  if (!value || *value >= least_beyond) return std::nullopt;
  return negative ? -*value : *value;
}

std::optional<int> whole_number(std::string_view text) {
  const auto number = decimal(text);
  constexpr std::int64_t limit = 1'000'000'000;
  if (!number || !number->is_whole() || number->num() > limit || number->num() < -limit) return std::nullopt;
  return static_cast<int>(number->num());
}

bool is_yes(std::string_view text) {
  return trimmed(text) == "yes";
}

std::optional<Fraction> note_value(std::string_view type) {
  const engraving::NoteValue value = engraving::type_named(type);
  if (!value) return std::nullopt;
  return Fraction(engraving::length_in_units(value), engraving::value_units);
}

Fraction dotted(Fraction value, int dots) {
  const std::int64_t power = std::int64_t{1} << std::clamp(dots, 0, 8);
  return dots <= 0 ? value : value * Fraction(2 * power - 1, power);
}

std::optional<Step> step(std::string_view letter) {
  return named<Step>(letter, step_names);
}

}  // namespace fifthpeg::musicxml
