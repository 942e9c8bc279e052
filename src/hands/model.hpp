// Both hands on one banjo in one style: all that judging and searching need, put together once.
#pragma once

#include "fifthpeg/hands.hpp"
#include "hands/candidates.hpp"
#include "hands/costs.hpp"
#include "hands/fret_hand.hpp"
#include "hands/picking_hand.hpp"
#include "hands/reach.hpp"

namespace fifthpeg::hands {

class Model {
 public:
  // Throws UsageError for options that cannot be.
  Model(const Banjo& banjo, const HandsOptions& options, Style style);
  Model(const Model&) = delete;
  Model& operator=(const Model&) = delete;
  ~Model() = default;

  const Neck& neck() const { return neck_; }
  const CostTable& costs() const { return costs_; }
  const Confinement& confinement() const { return confinement_; }
  const FretHand& fret_hand() const { return fret_hand_; }
  const PickingHand& picking_hand() const { return picking_hand_; }
  Candidates candidates() const { return {neck_, picking_hand_, costs_, confinement_}; }

 private:
  CostTable costs_;
  Confinement confinement_;
  Neck neck_;
  FretHand fret_hand_;
  PickingHand picking_hand_;
};

}  // namespace fifthpeg::hands
