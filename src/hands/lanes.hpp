// Costs reckoned side by side: loops over whole lanes, of which compilers make a few instructions each.
//
// Everything here is filled up to a whole number of lanes; what stands in the places beyond does not matter.
#pragma once

#include <cstddef>
#include <cstdint>

namespace fifthpeg::hands {

using Small = std::int16_t;
inline constexpr std::size_t lanes = 8;

constexpr Small small(int cost) {
  return static_cast<Small>(cost);
}
constexpr std::size_t in_lanes(std::size_t count) {
  return (count + lanes - 1) / lanes * lanes;
}

// The smaller of each cost and each other cost with `more` on it.
inline void keep_smaller(Small* __restrict costs, const Small* __restrict others, Small more,
                         std::size_t count) {
  for (std::size_t done = 0; done < count; done += lanes, costs += lanes, others += lanes) {
    for (std::size_t k = 0; k < lanes; ++k) {
      const Small other = small(others[k] + more);
      costs[k] = costs[k] < other ? costs[k] : other;
    }
  }
}

// Adds to each cost where its set has the bit.
inline void add_where(Small* __restrict costs, const Small* __restrict sets, Small bit, Small more,
                      std::size_t count) {
  for (std::size_t done = 0; done < count; done += lanes, costs += lanes, sets += lanes) {
    for (std::size_t k = 0; k < lanes; ++k) {
      costs[k] = small(costs[k] + ((sets[k] & bit) != 0 ? more : 0));
    }
  }
}

// Sums of two costs each; the smallest is returned.
inline Small add_up(Small* __restrict sums, const Small* __restrict a, const Small* __restrict b,
                    std::size_t count) {
  Small smallest = INT16_MAX;
  for (std::size_t k = 0; k < count; ++k) {
    sums[k] = small(a[k] + b[k]);
    smallest = smallest < sums[k] ? smallest : sums[k];
  }
  return smallest;
}

// Marks with 1 where a sum is below the limit.
inline void mark_below(Small* __restrict marks, const Small* __restrict a, const Small* __restrict b,
                       Small limit, std::size_t count) {
  for (std::size_t k = 0; k < count; ++k) marks[k] |= small(a[k] + b[k]) < limit ? Small{1} : Small{0};
}

}  // namespace fifthpeg::hands
