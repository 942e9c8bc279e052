// The melody of a score: one note after the other, as far as an arrangement needs it.
#pragma once

#include <cstdint>
#include <vector>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::arranging {

struct Tone {
  Fraction at;      // from the start of the score, repeats not carried out
  Fraction length;  // as it is held, over ties
  int midi = 0;
  std::uint32_t measure = 0;  // index into Score::measures
  Fraction in_measure;        // from its start
};

// The note of a stroke that is of the melody: its highest that has a pitch; nullptr for none.
const Note* melody_note_of(const Stroke& stroke);

// The highest note of each stroke. Grace notes and dead notes are no part of it, which is reported, as is
// that other notes are left out.
std::vector<Tone> melody_of(const Score& score, Report& report);

}  // namespace fifthpeg::arranging
