// Which accidental is printed before a note: by the key signature and what stood before it in the measure,
// for each line and space by itself (an accidental does not hold in other octaves).
#pragma once

#include <array>
#include <cstdint>
#include <optional>

#include "fifthpeg/pitch.hpp"

namespace fifthpeg::engraving {

class Accidentals {
 public:
  // At a barline or a new key signature.
  void start(const Key& key);
  // The alteration whose sign is printed before the pitch (0: a natural), or nothing. Notes tied from the
  // one before have none and are not asked for.
  std::optional<int> before(const Pitch& pitch);

 private:
  static constexpr int steps = 7;
  static constexpr int octaves = 256;

  std::array<std::int8_t, steps> key_{};
  // What holds on each line; valid where its stamp is that of the measure, so that a new measure is cheap.
  std::array<std::int8_t, std::size_t{steps} * octaves> alter_{};
  std::array<std::uint32_t, std::size_t{steps} * octaves> stamp_{};
  std::uint32_t now_ = 0;
};

}  // namespace fifthpeg::engraving
