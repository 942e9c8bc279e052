// What fuzz targets demand: a broken demand ends the process, so that the fuzzer keeps the input.
#pragma once

#include <cstdio>
#include <cstdlib>
#include <string>

#include "fifthpeg/score.hpp"

namespace fifthpeg::fuzz {

inline void must(bool held, const std::string& demand) {
  if (held) return;
  std::fprintf(stderr, "broken: %s\n", demand.c_str());
  std::abort();
}

inline void must_be_sound(const Score& score) {
  const auto found = flaws(score);
  must(found.empty(), found.empty() ? "" : "a sound score: " + found.front());
  Score again = score;
  normalize(again);
  must(again == score, "a score in normal form");
}

// Cost16 limits, so that a run meets them.
inline constexpr std::size_t max_bytes = 1U << 20;

}  // namespace fifthpeg::fuzz
