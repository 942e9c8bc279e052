// Fractions as decimal numbers, and back.
#pragma once

#include <algorithm>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "base/wide.hpp"
#include "fifthpeg/fraction.hpp"
#include "formats/musicxml/conventions.hpp"

namespace fifthpeg::musicxml {

// As many digits as every validator must take (XML Schema part 2, decimal: at least 18). They are enough for
// every tempo of a MIDI file.
inline constexpr std::size_t most_decimal_digits = 18;

// A number of decimal places from which the fraction can be found again: up to exact_tempo_places the
// decimal is the fraction; with more, the fraction is the simplest one (least denominator) that rounds to
// the decimal at its number of places. That one is unique: two fractions of denominators up to q differ by
// at least 1/q^2, and as many places are written as make their unit smaller than half of that. Fractions
// that would need more than most_decimal_digits are rounded, and are not found again.
std::string recoverable_decimal(Fraction value);

// Rounded to at most `places` decimal places, without zeros at the end: "80", "92.5".
std::string short_decimal(Fraction value, int places);

// The simplest fraction from low_num/low_den to high_num/high_den, both positive, by their continued
// fractions: the whole parts as long as they agree, then the least whole number between.
struct WideFraction {
  base::Wide num = 0;
  base::Wide den = 1;
};
inline WideFraction simplest_between(WideFraction low, WideFraction high) {
  const base::Wide whole = low.num / low.den;
  if (whole * low.den == low.num) return {whole, 1};
  if ((whole + 1) * high.den <= high.num) return {whole + 1, 1};
  const WideFraction rest =
      simplest_between({high.den, high.num - whole * high.den}, {low.den, low.num - whole * low.den});
  return {whole * rest.num + rest.den, rest.num};
}

// What recoverable_decimal() wrote; also any other plain decimal that is not negative. Nothing for anything
// else, and for more than 36 digits, which 128 bits do not hold.
inline std::optional<Fraction> fraction_of_decimal(std::string_view text) {
  constexpr int most_digits = 36;
  base::Wide num = 0;
  base::Wide den = 1;
  int digits = 0;
  int places = 0;
  bool point = false;
  for (const char c : text) {
    if (c == '.' && !point) {
      point = true;
      continue;
    }
    if (c < '0' || c > '9' || ++digits > most_digits) return std::nullopt;
    num = num * 10 + (c - '0');
    if (point) {
      den *= 10;
      ++places;
    }
  }
  if (digits == 0) return std::nullopt;
  WideFraction value{num, den};
  if (places > exact_tempo_places && num > 0)
    value = simplest_between({2 * num - 1, 2 * den}, {2 * num + 1, 2 * den});
  constexpr base::Wide limit = INT64_MAX;
  if (value.num > limit || value.den > limit) return std::nullopt;
  return Fraction(static_cast<std::int64_t>(value.num), static_cast<std::int64_t>(value.den));
}

}  // namespace fifthpeg::musicxml
