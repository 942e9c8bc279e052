#include "hands/costs.hpp"

#include <algorithm>

namespace fifthpeg::hands {

CostTable cost_table(Style style, bool closed) {
  CostTable table;
  if (closed) {
    table.open_in_chord = 60;
    table.open_beside = 0;
  }
  switch (style) {
    case Style::roll:
    case Style::automatic:
      break;
    case Style::melodic:
      // No two following notes share a string in fast lines, up the neck where that is what it takes.
      table.same_string = {120, 90, 0};
      table.in_position = true;
      table.fast_leap = 300;
      table.above_fourth = 0;
      table.up_the_neck = 2;
      // Digits take turns: there is no roll that brings the thumb back.
      table.same_thumb = table.same_picking_finger = {850, 850, 0};
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
      table.same_thumb = table.same_picking_finger = {200, 150, 0};
      break;
    case Style::clawhammer:
      // The nail strikes strings 1 to 4 with the beat; the thumb takes the drone, and drops at need.
      table.thumb_on = {forbidden, 30, 40, 50, 0};
      table.index_on = {400, 400, 400, 400, 600};
      table.middle_on = {400, 400, 400, 400, 600};
      table.nail_on = {0, 0, 0, 0, forbidden};
      table.pinch_without_middle = table.pinch_without_thumb = 0;
      table.thumb_beside = 0;
      table.nail_off_beat = 60;
      table.thumb_on_beat = forbidden;
      table.fast_leap = 300;
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
  return table;
}

}  // namespace fifthpeg::hands
