// Fractions as decimal numbers.
#pragma once

#include <optional>
#include <string>

#include "fifthpeg/fraction.hpp"

namespace fifthpeg::musicxml {

// A number of decimal places from which the fraction can be found again: up to exact_tempo_places the
// decimal is the fraction; with more, the fraction is the simplest one (least denominator) that rounds to
// the decimal at its number of places. That one is unique: two fractions of denominators up to q differ by
// at least 1/q^2, and as many places are written as make their unit smaller than half of that.
std::string recoverable_decimal(Fraction value);

// Rounded to at most `places` decimal places, without zeros at the end: "80", "92.5".
std::string short_decimal(Fraction value, int places);

}  // namespace fifthpeg::musicxml
