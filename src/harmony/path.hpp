// The path through the chords of a key, one for each unit of the music, that has the most points. It is
// exact, and linear in the length of the music.
#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "fifthpeg/pitch.hpp"
#include "harmony/units.hpp"
#include "harmony/weights.hpp"

namespace fifthpeg::harmony {

// The chords of a key, the most usual first.
std::span<const Degree> degrees_of(const Key& key);

class Path {
 public:
  // The units are looked at here only; there is one at least.
  Path(std::span<const Unit> units, const Key& key);

  // The best degree for each unit, as an index into degrees_of(); the more usual one on a tie.
  std::vector<std::size_t> best() const;
  // The best for one unit if it is not `first`.
  std::size_t second(std::size_t unit, std::size_t first) const;
  // From 0 to 1: the likelihood of `first` there, each degree being as likely as the best path through it.
  double sureness(std::size_t unit, std::size_t first) const;

 private:
  using Row = std::array<Points, major_degrees.size()>;  // by degree; no mode has more

  Points change(std::size_t to_unit, std::size_t from, std::size_t to) const;
  Points through(std::size_t unit, std::size_t degree) const;
  void go_forward();
  void go_back();

  std::span<const Degree> degrees_;
  std::array<std::array<Row, major_degrees.size()>, 2> changes_{};  // at a barline; inside a measure
  std::vector<bool> inside_;  // whether a unit is in the same bar as the one before it
  std::vector<Row> fit_;      // of each unit by itself
  std::vector<Row> before_;   // of the best path up to a unit, with it
  std::vector<Row> after_;    // of the best path from a unit on, without it
};

}  // namespace fifthpeg::harmony
