// The ordinary staff over the tab: where heads and accidentals stand. Banjo music is written an octave above
// where it sounds (common practice).
#pragma once

#include <vector>

#include "engraving/accidentals.hpp"
#include "fifthpeg/score.hpp"
#include "formats/sheet/layout/columns.hpp"

namespace fifthpeg::sheet {

// The position of a pitch as it is written, in half staff gaps above the lowest line of a G clef (E4).
int staff_position(const Pitch& sounding);

class Notation {
 public:
  explicit Notation(const Sizes& sizes) : sizes_(sizes) {}

  // At a barline or where the key changes.
  void start(const Key& key) { accidentals_.start(key); }
  // The heads of the notes of a stroke, in their order; `first`: they are struck here, not tied on.
  std::vector<Head> heads_of(const Stroke& stroke, bool first);
  Reach reach_of(const std::vector<Head>& heads, bool grace) const;
  double key_width(const Key& key) const;

 private:
  const Sizes& sizes_;
  engraving::Accidentals accidentals_;
};

// Of grace notes, how large their heads are.
inline constexpr double grace_head_scale = 0.65;

// The sign of an alteration from -2 to 2.
MusicSign accidental_sign(int alter);
// What the clef takes, with the white behind it.
double clef_width(const Sizes& sizes);

// Where the signs of a key stand on a staff with G clef, in the order in which they are written.
std::vector<int> key_positions(const Key& key);

}  // namespace fifthpeg::sheet
