// The cost table: what each thing asks of the hands, in whole units. One unit is about the trouble of
// putting one more finger down. The search looks for the way with the smallest sum.
//
// That fingering is a cheapest path through such costs is published: S. Sayegh, 'Fingering for string
// instruments with the optimum path paradigm', Computer Music Journal 13(3), 1989. The figures are not
// from there; each says where it comes from.
#pragma once

#include <cstdint>

namespace fifthpeg::hands {

using Cost = std::int64_t;

struct CostTable {
  // A fretted note where an open string would do. Common practice: open strings ring and leave time.
  int fretted = 2;
  // Every fret that a note lies above the fifth, where there is a lower place for it. Common practice:
  // low positions first.
  int up_the_neck = 1;
  // A fretted note on the short string: its frets are reached past the other strings. Common practice.
  int fretted_drone = 6;
  // The hand leaves its position. From memory: a shift is worth several fingers put down; H. Heijink and
  // R. Meulenbroek, Journal of Motor Behavior 34, 2002, found players to avoid shifts first of all.
  int shift = 6;
  // Every fret of such a shift. From memory.
  int shift_fret = 2;
  // A shift from fretted note to fretted note, with no open string to cover it. Common practice.
  int shift_uncovered = 4;
  // Every 10 mm of stretch beyond what is comfortable. From memory.
  int stretch_10_mm = 4;
  // Two following notes on the same string. Common practice: roll players change strings.
  int same_string = 3;
};

}  // namespace fifthpeg::hands
