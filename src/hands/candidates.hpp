// Everything that both hands can do for one stroke, found once for equal strokes.
#pragma once

#include <cstdint>
#include <memory>
#include <unordered_map>
#include <vector>

#include "hands/grips.hpp"
#include "hands/picking_hand.hpp"

namespace fifthpeg::hands {

struct StrokeOptions {
  // What of a grip decides whether it is worth trying, in few bytes: there are many to try.
  struct Outline {
    int cost = 0;                     // Grip::total
    std::uint16_t first_picking = 0;  // its pickings
    std::uint16_t pickings = 0;
    std::uint16_t group = 0;        // of its pickings, see groups
    std::uint16_t row = 0;          // see rows
    std::uint32_t first_limit = 0;  // see limits
    std::uint8_t position = 0;      // Grip::position
    // Where the hand has to shift to: 0 where it need not, or is taken along by a slide.
    std::uint8_t shifts_to = 0;
    std::uint8_t slurred = 0;  // strings that have to sound already, as bits
  };
  std::vector<Grip> grips;
  std::vector<Outline> outlines;  // of each grip
  std::vector<Picking> pickings;
  PickingColumns picking_lanes;
  // Pickings of the same strings with the same fixed picking fingers, which are the pickings of some of the
  // grips.
  struct Group {
    std::uint16_t first_picking = 0;
    std::uint16_t pickings = 0;
  };
  std::vector<Group> groups;
  // Grips that stop a string have a row each, others one for each position where the hand may be.
  std::uint16_t rows = 0;
  std::uint32_t limits = 0;  // of all rows with each of their pickings
  bool playable = false;     // some grip plays it whatever came before: without a slur
};

class Candidates {
 public:
  Candidates(const Neck& neck, const PickingHand& picking, const CostTable& costs,
             const Confinement& confinement)
      : neck_(neck), picking_(picking), costs_(costs), confinement_(confinement) {}

  const CostTable& costs() const { return costs_; }
  const Confinement& confinement() const { return confinement_; }

  // The options stay as long as somebody holds them; equal strokes share them.
  std::shared_ptr<const StrokeOptions> of(const RequestedStroke& stroke);

 private:
  struct Hash {
    std::size_t operator()(const RequestedStroke& stroke) const;
  };
  // A piece has few strokes that differ; a piece that has more than this makes do with a fresh start.
  static constexpr std::size_t most_kept = 4096;

  const Neck& neck_;
  const PickingHand& picking_;
  const CostTable& costs_;
  const Confinement& confinement_;
  std::unordered_map<RequestedStroke, std::shared_ptr<const StrokeOptions>, Hash> kept_;
};

}  // namespace fifthpeg::hands
