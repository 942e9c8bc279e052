#include "hands/search.hpp"

#include <algorithm>
#include <cstring>

namespace fifthpeg::hands {
namespace {

std::size_t hash_of(const HandState& hand) {
  static_assert(sizeof(HandState) == 24, "hashed as three words");
  std::uint64_t words[3];
  std::memcpy(words, &hand, sizeof words);
  std::uint64_t hash = words[0] * 0x9E3779B97F4A7C15U;
  hash = (hash ^ (hash >> 29) ^ words[1]) * 0xBF58476D1CE4E5B9U;
  hash = (hash ^ (hash >> 31) ^ words[2]) * 0x94D049BB133111EBU;
  return static_cast<std::size_t>(hash ^ (hash >> 32));
}

bool same(const HandState& a, const HandState& b) {
  return std::memcmp(&a, &b, sizeof a) == 0;
}

// The links of the strokes that are not decided yet. Ways that lead to different states have the same
// beginning: from time to time the common beginning is decided and its links are dropped, so that they do
// not grow with the piece.
class Trail {
 public:
  explicit Trail(std::vector<Decision>& decided) : decided_(decided) {}

  void add(const std::vector<Link>& links) {
    open_.push_back(links);
    if (open_.size() >= decide_after_) decide();
  }

  void finish(std::size_t best) {
    const std::size_t first = decided_.size();
    decided_.resize(first + open_.size());
    for (std::size_t k = open_.size(); k-- > 0;) {
      const Link& link = open_[k][best];
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
        if (from == Link::nowhere || before[from]) continue;
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
  std::vector<std::vector<Link>> open_;
  std::vector<Decision>& decided_;
  std::size_t decide_after_ = decide_every;
};

}  // namespace

std::size_t Frontier::best() const {
  return static_cast<std::size_t>(std::min_element(values.begin(), values.end()) - values.begin());
}

Frontier Stepper::start() {
  static const auto nothing = [] {
    auto options = std::make_shared<StrokeOptions>();
    options->pickings.emplace_back();
    return std::shared_ptr<const StrokeOptions>(options);
  }();
  Frontier frontier;
  frontier.hands.emplace_back();
  frontier.pickings = 1;
  frontier.values.push_back(0);
  frontier.options = nothing;
  return frontier;
}

void Stepper::settle_digits(const Frontier& from, const StrokeOptions& next, float seconds) {
  const PickingHand& hand = model_.picking_hand();
  const std::size_t before = from.pickings;
  const std::size_t after = next.pickings.size();
  repeats_.resize(before * after);
  for (std::size_t p = 0; p < before; ++p) {
    for (std::size_t q = 0; q < after; ++q) {
      repeats_[p * after + q] =
          next.pickings[q].cost + hand.repeat_cost(from.options->pickings[p], next.pickings[q], seconds);
    }
  }
  settled_.assign(from.hands.size() * after, Frontier::unreached);
  settled_by_.resize(from.hands.size() * after);
  for (std::size_t h = 0; h < from.hands.size(); ++h) {
    int* const settled = &settled_[h * after];
    std::uint32_t* const by = &settled_by_[h * after];
    for (std::size_t p = 0; p < before; ++p) {
      const std::size_t entry = h * before + p;
      const int value = from.values[entry];
      if (value >= Frontier::unreached) continue;
      const int* const repeats = &repeats_[p * after];
      for (std::size_t q = 0; q < after; ++q) {
        if (value + repeats[q] < settled[q]) {
          settled[q] = value + repeats[q];
          by[q] = static_cast<std::uint32_t>(entry);
        }
      }
    }
  }
}

// Whether one of the cheapest hands kept so far makes a hand superfluous.
bool Stepper::is_superfluous(const Frontier& from, std::uint32_t hand, const Ahead& ahead,
                             std::size_t pickings) const {
  constexpr std::size_t most_judges = 12;
  const std::size_t judges = std::min(kept_.size(), most_judges);
  const int* const settled = &settled_[hand * pickings];
  for (std::size_t j = 0; j < judges; ++j) {
    const int* const judge = &settled_[kept_[j] * pickings];
    int lead = INT32_MAX;
    for (std::size_t q = 0; q < pickings; ++q) lead = std::min(lead, settled[q] - judge[q]);
    if (lead >= 0 && model_.fret_hand().is_no_dearer(from.hands[kept_[j]], from.hands[hand], ahead, lead)) {
      return true;
    }
  }
  return false;
}

// Leaves in kept_ the hands that no other one provably makes superfluous, the cheapest first.
void Stepper::pass_over(const Frontier& from, const StrokeOptions& next, const Ahead& ahead) {
  const std::size_t pickings = next.pickings.size();
  const std::size_t hands = from.hands.size();
  cheapest_.resize(hands);
  std::vector<std::uint32_t>& order = order_;
  order.resize(hands);
  for (std::size_t h = 0; h < hands; ++h) {
    order[h] = static_cast<std::uint32_t>(h);
    cheapest_[h] = *std::min_element(&settled_[h * pickings], &settled_[h * pickings] + pickings);
  }
  std::sort(order.begin(), order.end(), [this](std::uint32_t a, std::uint32_t b) {
    return cheapest_[a] != cheapest_[b] ? cheapest_[a] < cheapest_[b] : a < b;
  });
  kept_.clear();
  const bool may_judge = prune_ && !next.slurred && !next.tied;
  for (const std::uint32_t hand : order) {
    if (!may_judge || !is_superfluous(from, hand, ahead, pickings)) kept_.push_back(hand);
  }
}

void Stepper::clear_places(std::size_t expected) {
  std::size_t size = 256;
  while (size < 2 * expected) size *= 2;
  table_.assign(size, 0);
}

std::size_t Stepper::place_of(Frontier& frontier, const HandState& hand) {
  if (2 * frontier.hands.size() >= table_.size()) {
    table_.assign(2 * table_.size(), 0);
    std::vector<HandState> hands;
    hands.swap(frontier.hands);
    for (const HandState& known : hands) place_of(frontier, known);
  }
  const std::size_t mask = table_.size() - 1;
  for (std::size_t slot = hash_of(hand) & mask;; slot = (slot + 1) & mask) {
    if (table_[slot] == 0) {
      frontier.hands.push_back(hand);
      table_[slot] = static_cast<std::uint32_t>(frontier.hands.size());
      return frontier.hands.size() - 1;
    }
    if (same(frontier.hands[table_[slot] - 1], hand)) return table_[slot] - 1;
  }
}

// Rows of limits: one for each grip that stops a string; for an open grip one for each position of the hand
// before, since the hand stays where it was.
void Stepper::clear_limits(const StrokeOptions& next) {
  row_of_.clear();
  std::size_t rows = 0;
  for (const Grip& grip : next.grips) {
    row_of_.push_back(rows);
    rows += grip.position == 0 ? HandState::positions : 1;
  }
  limits_.assign(rows * next.pickings.size(), Frontier::unreached);
  most_free_.assign(rows, HandState::most_free);
}

// Tries one grip from one hand; adds to the frontier what it may lead to.
void Stepper::try_grip(const Frontier& from, std::uint32_t h, std::size_t g, float seconds,
                       Frontier& frontier, std::vector<Link>& links) {
  const StrokeOptions& next = *frontier.options;
  const Grip& grip = next.grips[g];
  const HandState& before = from.hands[h];
  const std::size_t pickings = frontier.pickings;
  const StrokeOptions::Range range = next.pickings_of[g];
  const std::size_t first = range.first;
  const std::size_t last = first + range.count;
  const int* const settled = &settled_[h * pickings];
  const std::size_t row = row_of_[g] + (grip.position == 0 ? static_cast<std::size_t>(before.position) : 0);
  int* const limits = &limits_[row * pickings];
  const bool limited = prune_ && !hand_has_bar_ && before.free_for <= most_free_[row];
  const auto is_within = [&](int cost) {
    for (std::size_t q = first; q < last; ++q) {
      if (settled[q] + cost < limits[q]) return true;
    }
    return false;
  };
  if (limited) {
    int& shift = shifts_[static_cast<std::size_t>(grip.position)];
    if (shift < 0) shift = model_.fret_hand().shift_at_least(before, grip.position, seconds);
    if (!is_within(grip.total + (grip.slurred ? 0 : shift))) return;  // a slide takes the hand along
  }
  HandState after;
  const int cost = model_.fret_hand().move(before, grip, seconds, after).total() + grip.total;
  if (cost >= HandMove::impossible || (limited && !is_within(cost))) return;

  const std::size_t place = place_of(frontier, after);
  if (place * pickings == frontier.values.size()) {
    frontier.values.resize(frontier.values.size() + pickings, Frontier::unreached);
    links.resize(frontier.values.size());
  }
  const int dearer = model_.fret_hand().older_at_most_dearer(after, grip);
  bool leads = false;
  for (std::size_t q = first; q < last; ++q) {
    if (settled[q] >= Frontier::unreached) continue;
    const int value = settled[q] + cost;
    const std::size_t entry = place * pickings + q;
    if (value < frontier.values[entry]) {
      frontier.values[entry] = value;
      links[entry] = {settled_by_[h * pickings + q],
                      {static_cast<std::uint16_t>(g), static_cast<std::uint16_t>(q)}};
    }
    if (value + dearer < limits[q]) {
      limits[q] = value + dearer;
      leads = true;
    }
  }
  if (leads && grip.position == 0) most_free_[row] = std::min(most_free_[row], before.free_for);
}

Frontier Stepper::step(const Frontier& from, const std::shared_ptr<const StrokeOptions>& next, float seconds,
                       float after_that, std::vector<Link>& links, const std::vector<bool>& allowed) {
  settle_digits(from, *next, seconds);
  pass_over(from, *next, {seconds, next->open, after_that});

  Frontier frontier;
  frontier.options = next;
  frontier.pickings = next->pickings.size();
  frontier.base = from.base;
  links.clear();
  clear_places(64 + next->grips.size());
  clear_limits(*next);
  for (const std::uint32_t h : kept_) {
    hand_has_bar_ = std::any_of(from.hands[h].held.begin(), from.hands[h].held.end(), is_bar);
    shifts_.fill(-1);
    for (std::size_t g = 0; g < next->grips.size(); ++g) {
      if (allowed.empty() || allowed[g]) try_grip(from, h, g, seconds, frontier, links);
    }
  }
  if (!frontier.values.empty()) {
    const int smallest = *std::min_element(frontier.values.begin(), frontier.values.end());
    for (int& value : frontier.values) {
      if (value < Frontier::unreached) value -= smallest;
    }
    frontier.base += smallest;
  }
  return frontier;
}

float seconds_after(const std::vector<Instant>& line, std::size_t instant) {
  constexpr float ever = longest_wait_seconds;
  return instant + 1 < line.size() ? line[instant + 1].seconds : ever;
}

Way cheapest_way(const Score& score, const std::vector<Instant>& line, const Fit& fit, const Model& model,
                 Repertoire& repertoire, bool prune) {
  Way way;
  way.decisions.reserve(line.size());
  Trail trail(way.decisions);
  Stepper stepper(model, prune);
  WantedStrokes strokes(score, line, fit);
  Frontier frontier = Stepper::start();
  std::vector<Link> links;
  for (std::uint32_t i = 0; i < line.size(); ++i) {
    frontier =
        stepper.step(frontier, repertoire.of(strokes.at(i)), line[i].seconds, seconds_after(line, i), links);
    trail.add(links);
  }
  const std::size_t best = frontier.best();
  way.cost = frontier.base;
  trail.finish(best);
  return way;
}

std::vector<std::array<std::int64_t, cost_kinds>> costs_by_kind(const Score& score,
                                                                const std::vector<Instant>& line,
                                                                const Fit& fit, const Model& model,
                                                                Repertoire& repertoire, const Way& way) {
  std::vector<std::array<std::int64_t, cost_kinds>> result(line.size());
  WantedStrokes strokes(score, line, fit);
  HandState hand;
  Picking before;
  for (std::uint32_t i = 0; i < line.size(); ++i) {
    const auto options = repertoire.of(strokes.at(i));
    const Grip& grip = options->grips[way.decisions[i].grip];
    const Picking& picking = options->pickings[way.decisions[i].picking];
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
