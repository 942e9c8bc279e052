// What strokes of a roll ask of the hands because of the strokes before them, whatever unit they belong to.
#pragma once

#include <array>

#include "arrange/candidates.hpp"

namespace fifthpeg::arranging {

// A picking finger (as PickingFinger numbers it) on a string, and the next one on another: what it costs if
// they lie the other way round than their strings.
int crossing(int finger, int string, int next_finger, int next_string);

// The strokes of two slots that follow each other.
int cost_of_two(const SlotPlay& before, const SlotPlay& next, int level);

// Those of four: over how few strings they go, and whether the thumb is among them.
int cost_of_four(const std::array<const SlotPlay*, 4>& slots);

}  // namespace fifthpeg::arranging
