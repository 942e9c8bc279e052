// What a banjo has of the notes of a score, before anybody asks for hands.
#pragma once

#include <optional>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg {

// From the lowest to the highest note of a score.
struct Span {
  Pitch lowest;
  Pitch highest;
  int half_steps() const { return highest.midi() - lowest.midi(); }
};
// Nothing where the score has no note that has a pitch.
std::optional<Span> span_of(const Score& score);

// How far a piece can be moved at all, up or down: what --transpose takes.
inline constexpr int farthest_move = 60;

// Whether the note, moved by half steps, has a place on the banjo: a string and fret or, for a chime, a
// string that it can be touched on. A dead note has one anywhere; a choked one none on an open string.
bool has_place(const Banjo& banjo, const Note& note, int half_steps);

// Throws PlayError where a note has no place: in words of the note that the file has, with what was tried and
// whether any move can bring all notes in. Not set: by as few octaves as leave the fewest notes out.
void require_places(const Score& score, std::optional<int> half_steps);

}  // namespace fifthpeg
