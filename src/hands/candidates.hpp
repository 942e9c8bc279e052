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
  std::vector<Grip> grips;
  std::vector<Picking> pickings;
  // The pickings of each grip: those of its strings.
  struct Group {
    std::uint16_t first_picking = 0;
    std::uint16_t pickings = 0;
  };
  std::vector<Group> groups;
  // By how much a state before it may be dearer than the cheapest and is still followed (stepper.hpp):
  // further for slurs, ties, ringing on and fixed points, and for chords.
  static constexpr int usual_margin = 40;
  static constexpr int fixed_margin = 60;
  static constexpr int chord_margin = 100;
  int margin = usual_margin;
  bool playable = false;  // some grip plays it whatever came before: without a slur
};

class Candidates {
 public:
  Candidates(const Neck& neck, const PickingHand& picking, const CostTable& costs,
             const Confinement& confinement)
      : neck_(neck), picking_(picking), costs_(costs), confinement_(confinement) {}

  const CostTable& costs() const { return costs_; }

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
