// How many of the cases that a test makes at random are tried.
#pragma once

namespace fifthpeg::testing {

#if defined(__SANITIZE_ADDRESS__)
inline constexpr bool sanitized = true;
#elif defined(__has_feature)
inline constexpr bool sanitized = __has_feature(address_sanitizer);
#else
inline constexpr bool sanitized = false;
#endif

// All. A sanitized program takes five times as long for each and says nothing else of what they state, so
// that it tries a quarter: what a sanitizer finds in code that runs a hundred times, it finds in the first
// twenty-five. Not for damaged files, of which each takes a way of its own.
template <typename Count>
constexpr Count tried(Count all) {
  return sanitized ? (all + 3) / 4 : all;
}

}  // namespace fifthpeg::testing
