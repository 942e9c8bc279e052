// Costs reckoned side by side: loops over whole lanes, of which compilers make a few instructions each.
//
// Everything here is filled up to a whole number of lanes; what stands in the places beyond does not matter.
#pragma once

#include <cstddef>
#include <cstdint>

namespace fifthpeg::hands {

using Cost16 = std::int16_t;
inline constexpr std::size_t simd = 8;

constexpr Cost16 small(int cost) {
  return static_cast<Cost16>(cost);
}
constexpr std::size_t in_lanes(std::size_t count) {
  return (count + simd - 1) / simd * simd;
}

// The smaller of each cost and each other cost with `more` on it.
inline void keep_smaller(Cost16* __restrict costs, const Cost16* __restrict others, Cost16 more,
                         std::size_t count) {
  for (std::size_t done = 0; done < count; done += simd, costs += simd, others += simd) {
    for (std::size_t k = 0; k < simd; ++k) {
      const Cost16 other = small(others[k] + more);
      costs[k] = costs[k] < other ? costs[k] : other;
    }
  }
}

// Adds to each cost where its set has the bit.
inline void add_where(Cost16* __restrict costs, const Cost16* __restrict sets, Cost16 bit, Cost16 more,
                      std::size_t count) {
  for (std::size_t done = 0; done < count; done += simd, costs += simd, sets += simd) {
    for (std::size_t k = 0; k < simd; ++k) {
      costs[k] = small(costs[k] + ((sets[k] & bit) != 0 ? more : 0));
    }
  }
}

// Sums of two costs each; the smallest is returned.
inline Cost16 add_up(Cost16* __restrict sums, const Cost16* __restrict a, const Cost16* __restrict b,
                     std::size_t count) {
  Cost16 smallest = INT16_MAX;
  for (std::size_t k = 0; k < count; ++k) {
    sums[k] = small(a[k] + b[k]);
    smallest = smallest < sums[k] ? smallest : sums[k];
  }
  return smallest;
}

// Marks with 1 where a sum is below the limit.
inline void mark_below(Cost16* __restrict marks, const Cost16* __restrict a, const Cost16* __restrict b,
                       Cost16 limit, std::size_t count) {
  for (std::size_t k = 0; k < count; ++k) marks[k] |= small(a[k] + b[k]) < limit ? Cost16{1} : Cost16{0};
}

}  // namespace fifthpeg::hands
