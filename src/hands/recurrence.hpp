// What comes back in a piece: measures that are the same, or the same moved by half steps, are fingered
// alike.
#pragma once

#include <cstdint>
#include <vector>

#include "hands/candidates.hpp"
#include "hands/fit.hpp"

namespace fifthpeg::hands {

// What is charged for each grip of each stroke besides its own costs.
class Wishes {
 public:
  // Wishes for nothing, or what is known from the notes alone: a measure that comes back moved by half steps
  // is played closed, as it can be moved then.
  Wishes() = default;
  Wishes(const Score& score, const std::vector<Event>& line, const Fit& fit);

  // Whether anything comes back.
  bool any() const { return !like_.empty(); }
  // The same event in the last measure that is the same; itself where it comes no more, or again at once.
  std::uint32_t last_like(std::uint32_t event) const { return last_[event]; }
  // Measures that come back shall be like the one of them to which most are alike.
  void learn(std::vector<std::array<Placement, string_count>> placements,
             std::vector<std::array<FretFinger, string_count>> fingers);
  // For the grips of a stroke; empty for nothing, `forbidden` for what is done only where the hand, standing
  // otherwise than where the measure was before, reaches nothing else.
  const std::vector<int>& of(std::size_t event, const StrokeOptions& options);

 private:
  struct Measure {
    std::uint32_t first = 0;  // event
    std::uint32_t events = 0;
    int lowest = 0;  // pitch
  };
  // Measures that are the same but for half steps.
  struct Recurring {
    std::vector<Measure> measures;
    bool moved = false;  // by half steps, some of them
  };
  bool alike(const Measure& a, const Measure& b) const;
  bool is_closed(const Measure& measure) const;

  std::vector<Recurring> recurring_;
  // Of each event: the event that it shall be like, and how many frets higher; itself for no wish.
  std::vector<std::uint32_t> like_;
  std::vector<std::int8_t> higher_;
  std::vector<std::uint32_t> last_;
  std::vector<bool> closed_;  // shall not be open
  std::vector<bool> inside_;  // a measure that comes back, neither its first nor its last stroke
  std::vector<std::array<Placement, string_count>> placements_;
  std::vector<std::array<FretFinger, string_count>> fingers_;
  std::vector<int> more_;
};

}  // namespace fifthpeg::hands
