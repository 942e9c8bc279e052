// Which harmony a plan has at a place.
#pragma once

#include <cstddef>
#include <vector>

#include "arrange/plan.hpp"

namespace fifthpeg::arranging {

// Asked for in order.
class HarmonyAt {
 public:
  explicit HarmonyAt(const std::vector<Unit>& units) : units_(units) {}

  // That of the unit there; nullptr where nothing is to be filled in.
  const Harmony* at(std::size_t measure, Fraction onset) {
    while (next_ < units_.size() && (units_[next_].measure < measure ||
                                     (units_[next_].measure == measure && units_[next_].at <= onset))) {
      ++next_;
    }
    if (next_ == 0 || units_[next_ - 1].measure != measure) return nullptr;
    const Harmony& harmony = units_[next_ - 1].harmony;
    return harmony.known ? &harmony : nullptr;
  }

 private:
  const std::vector<Unit>& units_;
  std::size_t next_ = 0;
};

}  // namespace fifthpeg::arranging
