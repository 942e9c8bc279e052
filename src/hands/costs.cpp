#include "hands/costs.hpp"

#include <algorithm>
#include <cstdlib>

namespace fifthpeg::hands {

CostTable cost_table(Style style) {
  CostTable table;
  switch (style) {
    case Style::roll:
    case Style::automatic:
      break;
    case Style::melodic:
      // No two following notes share a string in fast lines, up the neck where that is what it takes.
      table.same_place = table.same_string = {120, 90, 0};
      table.in_position = true;
      table.above_fourth = 0;
      table.up_the_neck = 2;
      table.first_up_the_neck = 3;
      break;
    case Style::single_string:
      // Closed positions; thumb and index in turn on strings 1 to 4; notes need not ring on.
      table.in_position = true;
      table.open = 50;
      table.drone = 60;
      table.index_bar = 30;
      table.cut_at_once = 0;
      table.same_place = table.same_string = {};
      table.thumb_on = {10, 0, 0, 0, 0};
      table.index_on = {0, 0, 0, 10, 400};
      table.middle_on = {60, 80, 100, 400, 600};
      table.index_on_beat = 10;
      table.same_thumb = table.same_picking_finger;
      break;
    case Style::clawhammer:
      // The nail strikes strings 1 to 4 with the beat; the thumb takes the drone, and drops at need.
      table.thumb_on = {400, 30, 40, 50, 0};
      table.index_on = {400, 400, 400, 400, 600};
      table.middle_on = {400, 400, 400, 400, 600};
      table.nail_on = {0, 0, 0, 0, forbidden};
      table.pinch_without_middle = 0;
      table.thumb_beside = 0;
      table.nail_off_beat = 60;
      table.thumb_on_beat = 400;
      table.thumb_beyond_nail = 600;
      // The drone is the thumb's and rings open.
      table.fretted_drone = 150;
      // Slurs are part of the style; slides less than the others.
      table.slide = 30;
      table.suggested = 20;
      table.slur_off_beat_under = 0.2F;
      table.same_picking_finger = {200, 30, 0};
      table.same_place = table.same_string = {};
      break;
  }
  const auto env=[](const char* n,int& v){ if(const char* e=std::getenv(n)) v=std::atoi(e); };
  env("A7",table.above_seventh); env("AF",table.above_fourth); env("UP",table.up_the_neck); env("FU",table.first_up_the_neck); env("SH",table.shift); env("SF",table.shift_fret); env("FL",table.fast_leap);env("FLF",table.fast_leap_fret);env("OD",table.on_fretted_drone);env("BE",table.below_its_fret);env("AB",table.above_its_fret);env("SFA",table.struck_far); env("SE",table.struck_elsewhere); env("FP",table.first_position);env("PL",table.place);env("OP",table.open);env("CU",table.cut_at_once);
  env("PE",table.same_place.eighth);env("SG",table.same_string.eighth);env("SD",table.same_string.sixteenth);
  return table;
}

}  // namespace fifthpeg::hands
