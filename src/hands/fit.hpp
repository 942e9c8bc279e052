// Before the search: how far the piece moves, which notes of it can be held at all, and which fixed points
// can stand.
#pragma once

#include <cstdint>
#include <vector>

#include "fifthpeg/hands.hpp"
#include "hands/candidates.hpp"
#include "hands/fixed_points.hpp"
#include "hands/request.hpp"
#include "hands/stroke_sequence.hpp"

namespace fifthpeg::hands {

// A note that is let go because no hand can hold it with the others.
struct Dropped {
  std::uint32_t event = 0;  // index into the line
  std::uint32_t note = 0;   // index into Stroke::notes
};

// A stroke whose fixed points cannot all be played.
struct Relaxed {
  std::uint32_t event = 0;
  Kept kept;
};

// Which notes may be slurred although the source does not ask for it: single notes after single notes that
// come so soon after them.
struct AddedSlurs {
  float under = 0.0F;           // seconds
  float off_beat_under = 0.0F;  // of whole notes, off the beat
};

struct Fit {
  int half_steps = 0;
  Kept kept;
  AddedSlurs added_slurs;
  std::vector<FixedNote> fixed;
  std::vector<Dropped> dropped;  // in order
  std::vector<Relaxed> relaxed;  // in order
  Report report;
};

// Decides all of it; throws UnplayableError with the place where the piece does not fit as asked.
Fit fit(const Score& score, const std::vector<Event>& line, const HandsOptions& options,
        Candidates& candidates);

// The strokes as a fit leaves them, asked for in order.
class RequestedStrokes {
 public:
  RequestedStrokes(const Score& score, const std::vector<Event>& line, const Fit& fit);
  // `instant` must not be smaller than the time before.
  RequestedStroke at(std::uint32_t event);

 private:
  const Score& score_;
  const std::vector<Event>& line_;
  const Fit& fit_;
  std::size_t next_dropped_ = 0;
  std::size_t next_relaxed_ = 0;
  std::vector<std::int16_t> chords_;  // in force, by event
};

}  // namespace fifthpeg::hands
