#include "performance/beats.hpp"

namespace fifthpeg::performance {

std::vector<Fraction> beats(const Measure& measure) {
  const Meter& meter = measure.meter;
  const Fraction before = counted_before(measure);
  std::vector<Fraction> result;
  Fraction from_bar;
  const auto step = [&](std::size_t i) {
    return meter.beats.size() > 1 ? Fraction(meter.beats[i % meter.beats.size()], meter.unit) : meter.beat();
  };
  for (std::size_t i = 0; from_bar < before + measure.length; ++i) {
    if (from_bar >= before) result.push_back(from_bar - before);
    from_bar += step(i);
  }
  return result;
}

}  // namespace fifthpeg::performance
