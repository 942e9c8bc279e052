// Notes to strokes: which notes the picking hand struck at one instant, and which are grace notes.
#pragma once

#include <cstdint>
#include <vector>

#include "fifthpeg/score.hpp"
#include "formats/midi/note_pairing.hpp"
#include "formats/midi/reader/bars.hpp"
#include "formats/midi/reader/tempo_map.hpp"

namespace fifthpeg::midi::reader {

// Notes played closer together than this are one stroke (common practice; a strum's strings follow each
// other by 10 to 20 ms), unless that is a sixty-fourth note or more at the tempo.
inline constexpr double one_stroke_s = 0.020;
// A brush is spread over no more than this.
inline constexpr double longest_brush_s = 0.100;
// A note shorter than this, and than a thirty-second at the tempo, may be a grace note.
inline constexpr double longest_grace_s = 0.080;

// A note of the part that was taken, with what its bends and its channel say.
struct TakenNote {
  PlayedNote played;
  std::int8_t string = 0;  // 0: not known
  bool slides_in = false;
  bool slides_out = false;
  std::int16_t choke_cents = 0;  // 0: none
  bool choked_before = false;
  bool choke_released = false;
};

struct Strike {
  std::int64_t tick = 0;
  std::size_t first = 0;  // notes [first, last)
  std::size_t last = 0;
  Brush brush = Brush::none;
  bool grace = false;  // leads to the next strike that is not grace
};

// `notes` by onset; those of one strike are put in order of pitch.
std::vector<Strike> find_strikes(std::vector<TakenNote>& notes, const TempoMap& map, const Bars& bars);

}  // namespace fifthpeg::midi::reader
