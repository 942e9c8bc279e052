#include "hands/model.hpp"

#include <cmath>

#include "fifthpeg/errors.hpp"

namespace fifthpeg::hands {
namespace {

Confinement confinement_by(const HandsOptions& options) {
  if (options.position) {
    if (options.position->low < 1 || options.position->high < options.position->low) {
      throw UsageError("position-empty", "a position is two frets, the lower one first and not below 1");
    }
    return {options.position->low, options.position->high};
  }
  switch (options.neck) {
    case NeckPart::low:
      return {1, 5};
    case NeckPart::high:
      return {7, Confinement{}.high};
    default:
      return {};
  }
}

double checked(double value, double low, double high, const char* what) {
  if (!(value >= low && value <= high)) throw UsageError("hand-measure-out-of-range", what);
  return value;
}

}  // namespace

Model::Model(const Banjo& banjo, const HandsOptions& options, Style style)
    : costs_(cost_table(style, options.closed)),
      confinement_(confinement_by(options)),
      neck_(banjo,
            checked(options.scale_length_mm, 200.0, 2000.0, "a scale length lies between 200 and 2000 mm"),
            checked(options.reach, 0.5, 2.0, "a reach lies between 0.5 and 2")),
      fret_hand_(neck_, costs_),
      picking_hand_(style, costs_) {}

}  // namespace fifthpeg::hands
