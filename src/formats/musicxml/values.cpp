#include "formats/musicxml/values.hpp"

#include <algorithm>

#include "engraving/note_value.hpp"
#include "formats/musicxml/names.hpp"

namespace fifthpeg::musicxml {
namespace {

constexpr std::size_t most_digits = 15;
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
  bool negative = false;
  if (!text.empty() && (text.front() == '-' || text.front() == '+')) {
    negative = text.front() == '-';
    text.remove_prefix(1);
  }
  std::int64_t num = 0;
  std::int64_t den = 1;
  std::size_t digits = 0;
  std::size_t decimals = 0;
  bool point = false;
  for (const char c : text) {
    if (c == '.' && !point) {
      point = true;
      continue;
    }
    if (c < '0' || c > '9') return std::nullopt;
    if (point) {
      if (++decimals > most_decimals) {
        if (c != '0') return std::nullopt;
        continue;
      }
      den *= 10;
    }
    num = num * 10 + (c - '0');
    if (num != 0 && ++digits > most_digits) return std::nullopt;
  }
  if (text.empty() || text == ".") return std::nullopt;
  if (negative) num = -num;
  return den == 1 ? Fraction(num) : Fraction(num, den);
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
