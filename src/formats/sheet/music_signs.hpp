// The few signs of music that are no letters, as outlines: taken from Noto Music by make_music_signs.py, so
// that what is drawn does not hang on the fonts of a machine.
#pragma once

#include <cstdint>
#include <string_view>

namespace fifthpeg::sheet {

enum class MusicSign : std::uint8_t {
  whole_rest,
  half_rest,
  quarter_rest,
  eighth_rest,
  sixteenth_rest,
  thirty_second_rest,
  sixty_fourth_rest,
  hundred_twenty_eighth_rest,
  whole_head,
  half_head,
  black_head,
  up_flag,    // of an eighth, for a stem that goes up; shorter ones stack it
  down_flag,  // for a stem that goes down
  sharp,
  flat,
  natural,
  double_sharp,
  double_flat,
  g_clef,
  common_time,
  cut_time,
  segno,
  coda,
  fermata,
  count
};

// A sign's outline in the path language of SVG (W3C SVG 1.1, 8.3), M L C Z with absolute places, in staff
// spaces: one unit is the distance of two staff lines; y grows downwards.
//
// Where its origin lies: of heads, rests and accidentals at the left end, on the line or space that it
// stands for (a whole rest hangs from it); of the G clef at the left, on the G line; of flags at the stem's
// end, left of the stem; of all others at the left end of their foot.
struct SignOutline {
  std::string_view path;
  double left = 0;  // the ink, from the origin
  double top = 0;
  double right = 0;
  double bottom = 0;
};

const SignOutline& outline_of(MusicSign sign);

}  // namespace fifthpeg::sheet
