#include "formats/musicxml/decimal.hpp"

#include <algorithm>

namespace fifthpeg::musicxml {
namespace {

constexpr base::Wide power_of_ten(int places) {
  base::Wide power = 1;
  for (int i = 0; i < places; ++i) power *= 10;
  return power;
}

// Rounded half up to exactly that many places.
std::string rounded_decimal(Fraction value, int places) {
  const bool negative = value.num() < 0;
  const base::Wide num = negative ? -base::Wide{value.num()} : base::Wide{value.num()};
  const base::Wide unit = power_of_ten(places);
  const base::Wide rounded = (2 * num * unit + value.den()) / (2 * base::Wide{value.den()});
  std::string text = negative ? "-" : "";
  text += std::to_string(static_cast<std::uint64_t>(rounded / unit));
  if (places == 0) return text;
  // The 1 before them keeps the zeros that the places begin with.
  return text + '.' + std::to_string(static_cast<std::uint64_t>(unit + rounded % unit)).substr(1);
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
  int places = 0;  // at which the decimal ends, if it does so early enough
  while (places <= exact_tempo_places && value.num() * power_of_ten(places) % value.den() != 0) ++places;
  std::string text =
      rounded_decimal(value, places <= exact_tempo_places ? places : places_to_find(value.den()));
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
