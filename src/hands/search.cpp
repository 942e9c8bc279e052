#include "hands/search.hpp"

#include <algorithm>
#include <numeric>
#include <utility>

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

  void finish(std::size_t best) { settle(open_.size(), best); }

 private:
  // Decides the first strokes: those on the way to an entry of the last of them.
  void settle(std::size_t strokes, std::size_t entry) {
    const std::size_t first = decided_.size();
    decided_.resize(first + strokes);
    for (std::size_t k = strokes; k-- > 0;) {
      decided_[first + k] = open_[k][entry].decision;
      entry = open_[k][entry].before;
    }
    open_.erase(open_.begin(), open_.begin() + static_cast<std::ptrdiff_t>(strokes));
  }

  void decide() {
    std::vector<std::uint32_t> alive(open_.back().size());
    std::iota(alive.begin(), alive.end(), 0U);
    std::size_t strokes = open_.size();
    for (; strokes > 1 && alive.size() > 1; --strokes) {
      for (std::uint32_t& entry : alive) entry = open_[strokes - 1][entry].before;
      std::sort(alive.begin(), alive.end());
      alive.erase(std::unique(alive.begin(), alive.end()), alive.end());
      if (alive.back() == Backpointer::nowhere) alive.pop_back();  // what is not reached
    }
    if (alive.size() == 1) settle(strokes, alive.front());
    decide_after_ = std::max(decide_every, 2 * open_.size());  // so that looking back stays linear
  }

  static constexpr std::size_t decide_every = 256;
  std::vector<std::vector<Backpointer>> open_;
  std::vector<Decision>& decided_;
  std::size_t decide_after_ = decide_every;
};

struct Extent {
  std::size_t most_rows = SIZE_MAX;  // where the states outgrow it, no decisions
  bool each_once = false;            // what comes back is passed over until it comes last
  const Path* same = nullptr;        // only where the hand stands is found anew, not what it does
};

// 0 for what a hand does that plays the same notes with the same fingers in the same way.
std::vector<int> only_like(const Grip& wanted, const StrokeOptions& options) {
  std::vector<int> more;
  for (const Grip& grip : options.grips) {
    const bool like =
        grip.notes == wanted.notes && grip.fingers == wanted.fingers && grip.techniques == wanted.techniques;
    more.push_back(like ? 0 : Frontier::unreached);
  }
  return more;
}

Path search(const Score& score, const std::vector<Event>& line, const Fit& fit, Candidates& candidates,
            Wishes& wishes, Stepper stepper, Extent extent = {}) {
  Path path;
  path.decisions.reserve(line.size());
  Traceback traceback(path.decisions);
  Ahead ahead(score, line, fit, candidates);
  Frontier frontier = Stepper::start();
  std::vector<Backpointer> links;
  for (std::uint32_t i = 0; i < line.size(); ++i) {
    const auto options = ahead.next();
    if (extent.each_once && wishes.last_like(i) != i) continue;
    const std::vector<int> only = extent.same == nullptr
                                      ? std::vector<int>{}
                                      : only_like(options->grips[extent.same->decisions[i].grip], *options);
    const std::vector<int>& more = extent.same == nullptr ? wishes.of(i, *options) : only;
    frontier = stepper.step(frontier, options, line[i].wait, links, more, ahead.coming());
    if (frontier.rows.size() > extent.most_rows) return {};
    traceback.add(links);
  }
  path.cost = frontier.base;
  traceback.finish(frontier.best());
  return path;
}

}  // namespace

Path cheapest_path(const Score& score, const std::vector<Event>& line, const Fit& fit, const Model& model,
                   Candidates& candidates, Wishes wishes, bool in_time) {
  Path path = search(score, line, fit, candidates, wishes, Stepper(model, in_time));
  if (line.size() <= proven_line) {
    Path proven = search(score, line, fit, candidates, wishes, Stepper::within(model, in_time, path.cost),
                         {most_rows_proven, false});
    if (!proven.decisions.empty()) path = std::move(proven);
  }
  path.wishes = std::move(wishes);
  path.in_time = in_time;
  return path;
}

namespace {

Path cheapest_placements(const Score& score, const std::vector<Event>& line, const Fit& fit,
                         const Model& model, Candidates& candidates, bool in_time) {
  Wishes wishes(score, line, fit);
  if (!wishes.any()) return cheapest_path(score, line, fit, model, candidates, {}, in_time);
  const Path alone = search(score, line, fit, candidates, wishes, Stepper(model, in_time), {SIZE_MAX, true});
  std::vector<std::array<Placement, string_count>> placements(line.size());
  std::vector<std::array<FretFinger, string_count>> fingers(line.size());
  RequestedStrokes strokes(score, line, fit);
  auto decision = alone.decisions.begin();
  for (std::uint32_t i = 0; i < line.size(); ++i) {
    const auto options = candidates.of(strokes.at(i));
    if (wishes.last_like(i) != i) continue;
    const Grip& grip = options->grips[(decision++)->grip];
    placements[i].fill({0, 0});
    std::copy_n(grip.notes.begin(), grip.count, placements[i].begin());
    fingers[i] = grip.fingers;
  }
  for (std::uint32_t i = 0; i < line.size(); ++i) {
    placements[i] = placements[wishes.last_like(i)];
    fingers[i] = fingers[wishes.last_like(i)];
  }
  wishes.learn(std::move(placements), std::move(fingers));
  return cheapest_path(score, line, fit, model, candidates, std::move(wishes), in_time);
}

// Where the hand had better stand for the grips of a way: exact, since what it does is settled.
void settle_positions(const Score& score, const std::vector<Event>& line, const Fit& fit, const Model& model,
                      Candidates& candidates, Path& path) {
  if (line.size() <= proven_line) return;
  const Stepper all = Stepper::within(model, path.in_time, Stepper::no_bound - 1);
  path.decisions = search(score, line, fit, candidates, path.wishes, all, {SIZE_MAX, false, &path}).decisions;
}

// The cheapest picking fingers for the grips of a way, with the time that the tempo leaves them. Returns what
// they cost.
Cost settle_picking_fingers(const Score& score, const std::vector<Event>& line, const Fit& fit,
                            const Model& model, Candidates& candidates, Path& path) {
  const PickingHand& hand = model.picking_hand();
  RequestedStrokes strokes(score, line, fit);
  std::vector<std::vector<std::uint16_t>> from(line.size());  // of each picking: the best before it
  std::vector<Picking> before{{}};
  std::vector<Cost> values{0};
  for (std::uint32_t i = 0; i < line.size(); ++i) {
    const auto options = candidates.of(strokes.at(i));
    const StrokeOptions::Group group = options->groups[path.decisions[i].grip];
    const auto first = options->pickings.begin() + group.first_picking;
    const std::vector<Picking> next(first, first + group.pickings);
    std::vector<Cost> reached;
    std::vector<Cost> at(before.size());
    for (const Picking& picking : next) {
      for (std::size_t b = 0; b < before.size(); ++b) {
        at[b] = values[b] + picking.cost + hand.repeat_cost(before[b], picking, line[i].wait) +
                hand.hurry_cost(before[b], picking, line[i].wait);
      }
      const auto least = std::min_element(at.begin(), at.end());
      from[i].push_back(static_cast<std::uint16_t>(least - at.begin()));
      reached.push_back(*least);
    }
    path.decisions[i].picking = group.first_picking;
    before = next;
    values = std::move(reached);
  }
  const auto least = std::min_element(values.begin(), values.end());
  auto picking = static_cast<std::uint16_t>(least - values.begin());
  for (std::size_t i = line.size(); i-- > 0;) {
    path.decisions[i].picking = static_cast<std::uint16_t>(path.decisions[i].picking + picking);
    picking = from[i][picking];
  }
  return *least;
}

}  // namespace

Path cheapest_path(const Score& score, const std::vector<Event>& line, const Fit& fit, const Model& model,
                   Candidates& candidates) {
  Path path = cheapest_placements(score, line, fit, model, candidates, false);
  settle_positions(score, line, fit, model, candidates, path);
  const Cost picking = settle_picking_fingers(score, line, fit, model, candidates, path);
  if (picking >= forbidden) {
    Path other = cheapest_placements(score, line, fit, model, candidates, true);
    settle_positions(score, line, fit, model, candidates, other);
    if (settle_picking_fingers(score, line, fit, model, candidates, other) < picking) path = std::move(other);
  }
  path.cost = 0;
  for (const auto& stroke : costs_by_kind(score, line, fit, model, candidates, path)) {
    for (const std::int64_t cost : stroke) path.cost += cost;
  }
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
    const HandMove move = model.fret_hand().move(hand, grip, line[i].wait, after);
    charge(CostKind::fretting, move.fretting);
    charge(CostKind::stretch, move.stretch);
    charge(CostKind::fingers, move.fingers);
    charge(CostKind::shift, move.shift);
    charge(CostKind::ring, move.ring);
    charge(CostKind::technique, move.technique);
    charge(CostKind::picking, picking.cost);
    charge(CostKind::repeats, move.repeats + model.picking_hand().repeat_cost(before, picking, line[i].wait));
    hand = after;
    before = picking;
  }
  return result;
}

}  // namespace fifthpeg::hands
