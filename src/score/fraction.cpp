#include "fifthpeg/fraction.hpp"

#include "fifthpeg/errors.hpp"

namespace fifthpeg {

void refuse_time() {
  throw TimeError("time-overflow",
                  "holds times that are too long or too finely divided; shorten or simplify it");
}

std::string to_string(Fraction value) {
  if (value.is_whole()) return std::to_string(value.num());
  return std::to_string(value.num()) + "/" + std::to_string(value.den());
}

std::string counted_as(Fraction value) {
  if (value.is_whole()) return to_string(value);
  const Fraction whole = value.floor();
  Fraction part = value - whole;
  constexpr int short_decimals =
      40;  // what a part is one of that has three decimals at most, fifths included
  if (short_decimals % part.den() != 0) return (whole == 0 ? "" : to_string(whole) + " ") + to_string(part);
  std::string text = to_string(whole) + ".";
  while (part != 0) {
    part = part * 10;
    text += to_string(part.floor());
    part = part - part.floor();
  }
  return text;
}

}  // namespace fifthpeg
