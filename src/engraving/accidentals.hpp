// Which accidental is printed before a note: by the key signature and what stood before it in the measure,
// for each line and space by itself (an accidental does not hold in other octaves).
#pragma once

#include <map>
#include <optional>
#include <utility>

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
  Key key_;
  std::map<std::pair<Step, int>, int> alters_;  // what the measure has so far, by step and octave
};

}  // namespace fifthpeg::engraving
