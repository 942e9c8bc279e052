// A closing tag: what is played after the last note of a tune, so that everybody hears that it is over.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg::arranging {

// A row of the table: a slot of an eighth each, as licks are written (licks.hpp), the last of which is a
// pinch on the tonic.
struct TagRow {
  std::string_view tonic;  // chord, as the shapes of open G without capo have it
  bool in_threes = false;  // for dotted beats
  std::string_view words;
};
const std::vector<TagRow>& tag_table();

// Puts a tag after the last melody note of an arrangement: into the rest of its last measure where there is
// room, and else into a measure that follows; in the key that sounds. Its notes have strings, and picking
// fingers where these are three-finger players'. False where the music does not end with its last measure, as
// of jumps.
bool add_tag(Score& arrangement, const Key& key, bool with_fingers);

// The same measures for a part that accompanies it: a measure that was added, and the closing pinch.
void end_with(Score& backup, const Score& arrangement);

}  // namespace fifthpeg::arranging
