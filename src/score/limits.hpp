// Limits that all readers share.
#pragma once

#include <cstddef>

namespace fifthpeg {

inline constexpr std::size_t most_measures = 200'000;  // of one part; a score takes about a kilobyte for each

}  // namespace fifthpeg
