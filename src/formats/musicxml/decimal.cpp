#include "formats/musicxml/decimal.hpp"

#include <algorithm>

namespace fifthpeg::musicxml {
namespace {

// Rounded half up to exactly that many places.
std::string rounded_decimal(Fraction value, int places) {
  const bool negative = value.num() < 0;
  const auto den = static_cast<base::Wide>(value.den());
  const auto num = static_cast<base::Wide>(negative ? -value.num() : value.num());
  // A leading zero takes the carry.
  std::string digits(1, '0');
  digits += std::to_string(static_cast<std::uint64_t>(num / den));
  const std::size_t whole = digits.size();
  base::Wide rest = num % den;
  for (int i = 0; i < places; ++i) {
    rest *= 10;
    digits += static_cast<char>('0' + static_cast<int>(rest / den));
    rest %= den;
  }
  if (rest * 2 >= den) {
    std::size_t i = digits.size();
    while (digits[--i] == '9') digits[i] = '0';
    ++digits[i];
  }
  std::string text = negative ? "-" : "";
  const bool carried = digits.front() != '0';
  text.append(digits, carried ? 0 : 1, carried ? whole : whole - 1);
  if (places > 0) text += '.' + digits.substr(whole);
  return text;
}

// The places at which the decimal ends, or nothing where it never does.
std::optional<int> terminating_places(Fraction value) {
  std::int64_t den = value.den();
  int twos = 0;
  int fives = 0;
  for (; den % 2 == 0; den /= 2) ++twos;
  for (; den % 5 == 0; den /= 5) ++fives;
  if (den != 1) return std::nullopt;
  return std::max(twos, fives);
}

// The places after which no other fraction of a denominator as small rounds to the same decimal.
int places_to_find(std::int64_t denominator) {
  constexpr int most_places = static_cast<int>(most_decimal_digits) - 1;
  constexpr std::int64_t most_den = 1'000'000'000;  // whose square needs more places than that
  int places = denominator > most_den ? most_places : 0;
  const base::Wide den = denominator;
  for (base::Wide unit = 1; places < most_places && unit <= 2 * den * den; unit *= 10) ++places;
  return std::max(places, exact_tempo_places + 1);
}

}  // namespace

std::string recoverable_decimal(Fraction value) {
  const auto ends = terminating_places(value);
  const bool exact = ends && *ends <= exact_tempo_places;
  std::string text = rounded_decimal(value, exact ? *ends : places_to_find(value.den()));
  const std::size_t point = std::min(text.find('.'), text.size());
  if (text.size() > most_decimal_digits + 1) text.resize(std::max(point, most_decimal_digits + 1));
  if (text.back() == '.') text.pop_back();
  return text;
}

std::string short_decimal(Fraction value, int places) {
  std::string text = rounded_decimal(value, places);
  if (text.find('.') == std::string::npos) return text;
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text;
}

}  // namespace fifthpeg::musicxml
