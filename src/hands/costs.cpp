#include "hands/costs.hpp"

#include <algorithm>

namespace fifthpeg::hands {

CostTable cost_table(Style style) {
  CostTable table;
  switch (style) {
    case Style::roll:
    case Style::automatic:
      table.above_fourth_fret = 2;
      // The drone is there to ring open, and what rings in a roll is kept down.
      table.fretted_drone = 8;
      table.cut_later = 2;
      // At slow tempi a plain melody is picked with whatever finger lies on its string.
      table.same_picking_finger = {
          {{{0.10F, forbidden}, {0.15F, 60}, {0.20F, 20}, {0.26F, 10}, {0.40F, 1}, {0.0F, 0}}}};
      break;
    case Style::melodic:
      // No two following notes share a string, up the neck where that is what it takes.
      // At any tempo; after a long rest a string is as good as new.
      table.same_string = {{{{0.15F, 60}, {0.20F, 30}, {0.30F, 20}, {2.00F, 12}, {0.0F, 0}, {0.0F, 0}}}};
      break;
    case Style::single_string:
      // Closed positions; thumb and index in turn on strings 1 to 4; notes need not ring on.
      table.fretted = 0;
      table.open = 5;
      table.drone = 6;
      table.cut_at_once = 0;
      table.cut_later = 0;
      table.cut_shape = 0;
      table.same_string = {};
      table.thumb_on = {1, 0, 0, 0, 0};
      table.index_on = {0, 0, 0, 1, 40};
      table.middle_on = {6, 8, 10, 40, 60};
      table.index_on_beat = 1;
      break;
    case Style::clawhammer:
      // The nail strikes strings 1 to 4 with the beat; the thumb takes the drone, and drops at need.
      table.thumb_on = {12, 3, 4, 5, 0};
      table.index_on = {40, 40, 40, 40, 60};
      table.middle_on = {40, 40, 40, 40, 60};
      table.nail_on = {0, 0, 0, 0, forbidden};
      table.pinch_without_middle = 0;
      table.nail_off_beat = 6;
      table.thumb_on_beat = 10;
      table.thumb_beyond_nail = 60;
      // The drone is the thumb's and rings open.
      table.fretted_drone = 15;
      table.above_fourth_fret = 2;
      // Slurs are part of the style; slides less than the others.
      table.slide = 4;
      table.suggested = 2;
      table.slur_off_beat_under = 0.6F;
      table.same_picking_finger = {
          {{{0.10F, forbidden}, {0.14F, 60}, {0.18F, 20}, {0.22F, 8}, {0.26F, 3}, {0.0F, 0}}}};
      table.same_string = {};
      break;
  }
  return table;
}

}  // namespace fifthpeg::hands
