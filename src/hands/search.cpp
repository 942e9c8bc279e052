#include "hands/search.hpp"

#include <algorithm>

namespace fifthpeg::hands {
namespace {

// The links of the strokes that are not decided yet. Ways that lead to different states have the same
// beginning: from time to time the common beginning is decided and its links are dropped, so that they do
// not grow with the piece.
class Traceback {
 public:
  explicit Traceback(std::vector<Decision>& decided) : decided_(decided) {}

  void add(const std::vector<Backpointer>& links) {
    open_.push_back(links);
    if (open_.size() >= decide_after_) decide();
  }

  void finish(std::size_t best) {
    const std::size_t first = decided_.size();
    decided_.resize(first + open_.size());
    for (std::size_t k = open_.size(); k-- > 0;) {
      const Backpointer& link = open_[k][best];
      decided_[first + k] = link.decision;
      best = link.before;
    }
  }

 private:
  void decide() {
    std::vector<bool> alive(open_.back().size(), true);
    std::size_t common = open_.size();  // from here back there is one way only
    std::size_t common_entry = 0;
    for (std::size_t k = open_.size(); k-- > 1;) {
      std::vector<bool> before(open_[k - 1].size(), false);
      std::size_t count = 0;
      std::size_t last = 0;
      for (std::size_t entry = 0; entry < alive.size(); ++entry) {
        if (!alive[entry]) continue;
        const std::uint32_t from = open_[k][entry].before;
        if (from == Backpointer::nowhere || before[from]) continue;
        before[from] = true;
        ++count;
        last = from;
      }
      alive.swap(before);
      if (count == 1) {
        common = k;
        common_entry = last;
        break;
      }
    }
    decide_after_ = 2 * open_.size();  // so that looking back stays linear whatever happens
    if (common == open_.size()) return;
    const std::size_t first = decided_.size();
    decided_.resize(first + common);
    std::size_t entry = common_entry;
    for (std::size_t k = common; k-- > 0;) {
      decided_[first + k] = open_[k][entry].decision;
      entry = open_[k][entry].before;
    }
    open_.erase(open_.begin(), open_.begin() + static_cast<std::ptrdiff_t>(common));
    decide_after_ = std::max(decide_every, 2 * open_.size());
  }

  static constexpr std::size_t decide_every = 256;
  std::vector<std::vector<Backpointer>> open_;
  std::vector<Decision>& decided_;
  std::size_t decide_after_ = decide_every;
};

}  // namespace

Path cheapest_path(const Score& score, const std::vector<Event>& line, const Fit& fit, const Model& model,
                   Candidates& candidates, bool prune) {
  Path path;
  path.decisions.reserve(line.size());
  Traceback traceback(path.decisions);
  Stepper stepper(model, prune);
  RequestedStrokes strokes(score, line, fit);
  Frontier frontier = Stepper::start();
  std::vector<Backpointer> links;
  for (std::uint32_t i = 0; i < line.size(); ++i) {
    frontier = stepper.step(frontier, candidates.of(strokes.at(i)), times_of(line, i), links);
    traceback.add(links);
  }
  const std::size_t best = frontier.best();
  path.cost = frontier.base;
  traceback.finish(best);
  return path;
}

std::vector<std::array<std::int64_t, cost_kinds>> costs_by_kind(const Score& score,
                                                                const std::vector<Event>& line,
                                                                const Fit& fit, const Model& model,
                                                                Candidates& candidates, const Path& path) {
  std::vector<std::array<std::int64_t, cost_kinds>> result(line.size());
  RequestedStrokes strokes(score, line, fit);
  HandState hand;
  Picking before;
  for (std::uint32_t i = 0; i < line.size(); ++i) {
    const auto options = candidates.of(strokes.at(i));
    const Grip& grip = options->grips[path.decisions[i].grip];
    const Picking& picking = options->pickings[path.decisions[i].picking];
    auto& cost = result[i];
    const auto charge = [&cost](CostKind kind, int units) { cost[static_cast<std::size_t>(kind)] += units; };
    for (std::size_t kind = 0; kind < cost_kinds; ++kind) cost[kind] = grip.cost[kind];
    HandState after;
    const HandMove move = model.fret_hand().move(hand, grip, line[i].seconds, after);
    charge(CostKind::fingers, move.fingers);
    charge(CostKind::shift, move.shift);
    charge(CostKind::ring, move.ring);
    charge(CostKind::technique, move.technique);
    charge(CostKind::picking, picking.cost);
    charge(CostKind::repeats, model.picking_hand().repeat_cost(before, picking, line[i].seconds));
    hand = after;
    before = picking;
  }
  return result;
}

}  // namespace fifthpeg::hands
