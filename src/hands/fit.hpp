// Before the search: how far the piece moves, and which notes of it can be held at all.
#pragma once

#include <cstdint>
#include <vector>

#include "fifthpeg/hands.hpp"
#include "hands/line.hpp"
#include "hands/placements.hpp"

namespace fifthpeg::hands {

// A note that is let go because no hand can hold it with the others.
struct LetGo {
  std::uint32_t instant = 0;  // index into the line
  std::uint32_t note = 0;     // index into Stroke::notes
};

struct Fit {
  int half_steps = 0;
  std::vector<LetGo> let_go;                  // in order
  std::vector<std::uint32_t> placements_off;  // instants whose placements cannot stand together, in order
  Report report;
};

// Decides both; throws PlayError with the place where the piece does not fit as asked.
Fit fit(const Score& score, const std::vector<Instant>& line, const HandsOptions& options, const Neck& neck);

// The strokes as they are left by a fit, asked for in order.
class WantedStrokes {
 public:
  WantedStrokes(const Score& score, const std::vector<Instant>& line, const Fit& fit, bool keep)
      : score_(score), line_(line), fit_(fit), keep_(keep) {}
  // `instant` must not be smaller than the time before.
  WantedStroke at(std::uint32_t instant);

 private:
  const Score& score_;
  const std::vector<Instant>& line_;
  const Fit& fit_;
  bool keep_;
  std::size_t next_let_go_ = 0;
  std::size_t next_off_ = 0;
};

}  // namespace fifthpeg::hands
