// The key that music stands in, with and without what its chord symbols say.
#pragma once

#include <cstddef>
#include <cstdint>

#include "fifthpeg/score.hpp"

namespace fifthpeg::harmony {

enum class KeyFrom : std::int8_t { notes, notes_and_symbols };

// As find_key().
Key key_of(const Score& score, std::size_t first, std::size_t count, KeyFrom from);

}  // namespace fifthpeg::harmony
