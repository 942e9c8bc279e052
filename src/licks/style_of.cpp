// What players call which style: common practice, from memory; how much of it makes the style is this
// program's.
#include "licks/style_of.hpp"

#include <algorithm>
#include <cstdlib>
#include <vector>

namespace fifthpeg::licks {
namespace {

// How a line goes on from one single note to the next.
struct Moves {
  std::size_t all = 0;
  std::size_t on_one_string = 0;
  std::size_t steps_across =
      0;  // of the scale, on another string, and not the only one: chords have those too
};

Moves moves_of(const LickLine& line) {
  constexpr int widest_scale_step = 2;  // half steps
  Moves moves;
  const std::vector<LineNote>& notes = line.notes;
  // To a note from the one before it.
  const auto is_move = [&](std::size_t to) {
    return to > 0 && to < notes.size() && notes[to - 1].single && notes[to].single;
  };
  const auto is_step = [&](std::size_t to) {
    if (!is_move(to)) return false;
    const int apart = std::abs(notes[to].midi - notes[to - 1].midi);
    return apart > 0 && apart <= widest_scale_step;
  };
  for (std::size_t to = 1; to < notes.size(); ++to) {
    if (!is_move(to)) continue;
    ++moves.all;
    if (notes[to].string == notes[to - 1].string)
      ++moves.on_one_string;
    else if (is_step(to) && (is_step(to - 1) || is_step(to + 1)))
      ++moves.steps_across;
  }
  return moves;
}

bool has_nail(const LickLine& line) {
  return std::any_of(line.notes.begin(), line.notes.end(),
                     [](const LineNote& note) { return note.finger == PickingFinger::nail; });
}

// Pinches, as at the end, take more fingers than the line does.
bool picks_line(const LickLine& line, PickingFinger finger) {
  return std::any_of(line.notes.begin(), line.notes.end(),
                     [finger](const LineNote& note) { return note.single && note.finger == finger; });
}

bool has_drone(const LickLine& line) {
  return std::any_of(line.notes.begin(), line.notes.end(), [](const LineNote& note) {
    return note.single && note.string == fifth_string && note.fret == 0;
  });
}

}  // namespace

Style style_of(const LickLine& line) {
  if (has_nail(line)) return Style::clawhammer;
  const Moves moves = moves_of(line);
  // Thumb and index in turn, and the drone is silent.
  const bool is_line =
      picks_line(line, PickingFinger::index) && !picks_line(line, PickingFinger::middle) && !has_drone(line);
  if (is_line && 3 * moves.on_one_string >= moves.all && moves.on_one_string > 1) return Style::single_string;
  // Scales laid across the strings.
  if (moves.steps_across >= 3 && 5 * moves.steps_across >= 2 * moves.all) return Style::melodic;
  return Style::roll;
}

}  // namespace fifthpeg::licks
