// When the clicks of a metronome are heard.
#include <algorithm>

#include "fifthpeg/performance.hpp"

namespace fifthpeg {

std::vector<HeardClick> heard(const std::vector<Click>& clicks, const Performance& performance) {
  std::vector<Click> in_order = clicks;
  std::stable_sort(in_order.begin(), in_order.end(), [](const Click& a, const Click& b) {
    return a.measure != b.measure ? a.measure < b.measure : a.at < b.at;
  });
  std::vector<HeardClick> result;
  for (const PlayedMeasure& played : performance.measures) {
    auto click =
        std::lower_bound(in_order.begin(), in_order.end(), played.measure,
                         [](const Click& one, std::size_t measure) { return one.measure < measure; });
    for (; click != in_order.end() && click->measure == played.measure; ++click) {
      result.push_back(
          {played.start + (click->at / performance.tick + Fraction(1, 2)).floor(), click->accent});
    }
  }
  return result;
}

}  // namespace fifthpeg
