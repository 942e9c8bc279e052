// Which octave a piece is played in where neither its source nor anybody else says so.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "fifthpeg/banjo.hpp"
#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "hands/stroke_sequence.hpp"

namespace fifthpeg::hands {

struct Octave {
  int half_steps = 0;
  std::uint64_t outside = 0;  // notes that have no place there
  std::int64_t estimate = 0;  // what the other notes cost one by one, each in its easiest place
};

// All octaves that come into question, the nearest to the written one first.
class Octaves {
 public:
  Octaves(const Score& score, const std::vector<Event>& line);

  // Those that are worth a search: every note has a place there, or is one of the few that may fold. All of
  // them, or the nearest and those near to what promises to be easiest; these first where they promise
  // far_easier().
  std::vector<Octave> worth_a_search(bool fold, bool easier_only) const;

  // Whether one promises to be so much easier than another that the other need not be searched.
  static bool far_easier(const Octave& one, const Octave& other) { return 2 * one.estimate < other.estimate; }

  // An octave that is much easier than the chosen one, but for a few notes that have no place there.
  const Octave* held_back(const Octave& chosen) const;

 private:
  bool almost_fits(const Octave& octave) const;

  std::vector<Octave> all_;
  std::uint64_t notes_ = 0;
};

// "the piece is moved down an octave"
std::string moved_by_octaves(int half_steps);

// Which notes keep a piece from an octave, and which tuning has them.
std::string what_holds_back(const Score& score, const std::vector<Event>& line, const Octave& chosen,
                            const Octave& easier);

// Moves the notes that have no place when the piece moves by an octave or more to where they have one, and
// reports each.
void fold(Score& score, int half_steps, Report& report);

}  // namespace fifthpeg::hands
