#include <numeric>

#include "fifthpeg/score.hpp"

namespace fifthpeg {

Fraction Meter::length() const {
  return {std::accumulate(beats.begin(), beats.end(), std::int64_t{0}), unit};
}

bool Meter::is_compound() const {
  return beats.size() == 1 && unit >= 8 && beats.front() > 3 && beats.front() % 3 == 0;
}

Fraction Meter::beat() const {
  return is_compound() ? Fraction(3, unit) : Fraction(1, unit);
}

std::string to_string(const Meter& meter) {
  std::string text;
  for (const int beats : meter.beats) {
    if (!text.empty()) text += '+';
    text += std::to_string(beats);
  }
  return text + "/" + std::to_string(meter.unit);
}

Fraction beat_at(const Meter& meter, Fraction offset) {
  return offset / meter.beat() + 1;
}

Fraction counted_before(const Measure& measure) {
  const Fraction whole = measure.meter.length();
  const bool from_end = measure.implicit && measure.length > 0 && measure.length < whole;
  return from_end ? whole - measure.length : Fraction(0);
}

Fraction beat_at(const Measure& measure, Fraction offset) {
  return beat_at(measure.meter, counted_before(measure) + offset);
}

}  // namespace fifthpeg
