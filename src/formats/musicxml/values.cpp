#include "formats/musicxml/values.hpp"

#include <algorithm>
#include <array>

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

namespace {

// The commonest first.
constexpr std::array<NoteValue, 14> note_values{{{"eighth", {1, 8}},
                                                 {"16th", {1, 16}},
                                                 {"quarter", {1, 4}},
                                                 {"half", {1, 2}},
                                                 {"whole", {1}},
                                                 {"32nd", {1, 32}},
                                                 {"64th", {1, 64}},
                                                 {"128th", {1, 128}},
                                                 {"256th", {1, 256}},
                                                 {"512th", {1, 512}},
                                                 {"1024th", {1, 1024}},
                                                 {"breve", {2}},
                                                 {"long", {4}},
                                                 {"maxima", {8}}}};

}  // namespace

const NoteValue* find_note_value(std::string_view type) {
  const auto* const row = std::find_if(note_values.begin(), note_values.end(),
                                       [type](const NoteValue& one) { return one.type == type; });
  return row == note_values.end() ? nullptr : row;
}

std::optional<Fraction> note_value(std::string_view type) {
  const NoteValue* const value = find_note_value(type);
  if (value == nullptr) return std::nullopt;
  return value->length;
}

const NoteValue* plain_value(Fraction length, int& dots) {
  for (const NoteValue& value : note_values) {
    if (value.length > 2 || value.length < Fraction(1, 128)) continue;
    for (dots = 0; dots <= 1; ++dots) {
      if (length == dotted(value.length, dots)) return &value;
    }
  }
  return nullptr;
}

Fraction dotted(Fraction value, int dots) {
  const std::int64_t power = std::int64_t{1} << std::clamp(dots, 0, 8);
  return dots <= 0 ? value : value * Fraction(2 * power - 1, power);
}

std::optional<Step> step(std::string_view letter) {
  static constexpr std::string_view order = "CDEFGAB";
  if (letter.size() != 1) return std::nullopt;
  const auto place = order.find(letter.front());
  if (place == std::string_view::npos) return std::nullopt;
  return static_cast<Step>(place);
}

}  // namespace fifthpeg::musicxml
