// Questions to the model of the hands: what a checker asks about placements, fingers and picking fingers that
// are already there. The answers come from the same figures as the search's, so that there is one model.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "fifthpeg/hands.hpp"
#include "hands/model.hpp"

namespace fifthpeg::hands {

// What keeps a stroke from being held as it is written.
enum class HoldFault : std::int8_t {
  none,
  unplaced,      // a note has no placement
  no_such_fret,  // on that string, on this banjo
  two_on_one_string,
  too_far,          // past the hard limit whatever the fingers
  fingers_too_far,  // past the hard limit of the fingers that are given
  finger_in_two_places,
  fingers_out_of_order,  // a higher finger at a lower fret
  open_string_under_bar,
  too_few_fingers,
};

// How a stroke lies under the fret hand.
struct Hold {
  HoldFault fault = HoldFault::none;
  double span_mm = 0.0;  // from the lowest to the highest stopped fret
  double comfortable_mm =
      0.0;  // the limit for the fingers that span it; for index and little finger if unknown
  double hard_mm = 0.0;
  int low_fret = 0;  // stopped; 0 where all strings ring open
  int high_fret = 0;
};

// Judges the notes of one stroke, with the placements they have and the fingers they have or could have.
Hold judge_hold(const Stroke& stroke, const Model& model);

// What keeps a stroke from being picked as it is written.
enum class PickFault : std::int8_t {
  none,
  picking_finger_on_two_strings,  // and it is no brush
  picking_fingers_crossed,        // a digit lies on a string beyond the next digit's
  too_many_strings,               // more than three at once, and it is no brush
};
PickFault judge_picking(const Stroke& stroke);

// One stroke after another.
struct Succession {
  bool same_picking_finger = false;  // some digit strikes twice in a row
  bool same_string = false;          // some string is struck twice in a row
  int cost = 0;                      // of the digits, see CostTable
  // Nobody plays that at this speed: a picking finger again so soon that the table forbids it.
  bool forbidden = false;
};
Succession judge_succession(const Stroke& before, const Stroke& next, Wait wait, const Model& model);

// Whether a technique can lead from one note to the next as they are placed and fingered; fingers that are
// not known are taken to be the right ones.
bool leads(Technique technique, const Note& from, const Note& to);

}  // namespace fifthpeg::hands
