#include "hands/stepper.hpp"

#include <algorithm>
#include <climits>
#include <cstring>

namespace fifthpeg::hands {
namespace {

std::size_t hash_of(const HandState& hand, std::size_t first_picking) {
  static_assert(sizeof(HandState) == 16, "hashed as two words");
  std::uint64_t words[2];
  std::memcpy(words, &hand, sizeof words);
  std::uint64_t hash = (words[0] + first_picking) * 0x9E3779B97F4A7C15U;
  hash = (hash ^ (hash >> 29) ^ words[1]) * 0xBF58476D1CE4E5B9U;
  return static_cast<std::size_t>(hash ^ (hash >> 32));
}

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
  frontier.rows.push_back({{}, 0, 0, 1});
  frontier.values.push_back(0);
  frontier.options = nothing;
  return frontier;
}

// What each hand has come to before each next picking: its own pickings are settled.
void Stepper::settle(const Frontier& from, const StrokeOptions& next, Wait wait) {
  const std::size_t count = next.pickings.size();
  const std::vector<Picking>& before = from.options->pickings;
  repeats_.resize(before.size() * count);
  for (std::size_t p = 0; p < before.size(); ++p) {
    for (std::size_t q = 0; q < count; ++q) {
      const PickingHand& hand = model_.picking_hand();
      repeats_[p * count + q] = next.pickings[q].cost + hand.repeat_cost(before[p], next.pickings[q], wait) +
                                (in_time_ ? hand.hurry_cost(before[p], next.pickings[q], wait) : 0);
    }
  }
  settled_.assign(from.rows.size() * count, Frontier::unreached);
  cheapest_.assign(from.rows.size(), Frontier::unreached);
  order_.resize(from.rows.size());
  for (std::size_t r = 0; r < from.rows.size(); ++r) {
    const Frontier::Row& row = from.rows[r];
    int* const settled = &settled_[r * count];
    for (std::size_t p = 0; p < row.pickings; ++p) {
      const int value = from.values[row.first_value + p];
      if (value >= Frontier::unreached) continue;
      const int* const repeats = &repeats_[(row.first_picking + p) * count];
      for (std::size_t q = 0; q < count; ++q) settled[q] = std::min(settled[q], value + repeats[q]);
    }
    for (std::size_t q = 0; q < count; ++q) cheapest_[r] = std::min(cheapest_[r], settled[q]);
    order_[r] = static_cast<std::uint32_t>(r);
  }
  std::sort(order_.begin(), order_.end(), [this](std::uint32_t a, std::uint32_t b) {
    return cheapest_[a] != cheapest_[b] ? cheapest_[a] < cheapest_[b] : a < b;
  });
}

// The value that a settled cost comes from.
std::uint32_t Stepper::before(const Frontier& from, std::size_t r, std::size_t q) const {
  const Frontier::Row& row = from.rows[r];
  const std::size_t count = settled_.size() / from.rows.size();
  std::size_t p = 0;
  while (from.values[row.first_value + p] + repeats_[(row.first_picking + p) * count + q] !=
         settled_[r * count + q]) {
    ++p;
  }
  return row.first_value + static_cast<std::uint32_t>(p);
}

std::size_t Stepper::row_of(Frontier& to, const HandState& hand, const StrokeOptions::Group& group) {
  if (4 * (to.rows.size() + 1) > table_.size()) {
    table_.assign(std::max<std::size_t>(256, 2 * table_.size()), 0);
    for (std::size_t r = 0; r < to.rows.size(); ++r) {
      std::size_t slot = hash_of(to.rows[r].hand, to.rows[r].first_picking) & (table_.size() - 1);
      while (table_[slot] != 0) slot = (slot + 1) & (table_.size() - 1);
      table_[slot] = static_cast<std::uint32_t>(r + 1);
    }
  }
  std::size_t slot = hash_of(hand, group.first_picking) & (table_.size() - 1);
  for (; table_[slot] != 0; slot = (slot + 1) & (table_.size() - 1)) {
    const Frontier::Row& row = to.rows[table_[slot] - 1];
    if (row.first_picking == group.first_picking && row.hand == hand) return table_[slot] - 1;
  }
  to.rows.push_back(
      {hand, static_cast<std::uint32_t>(to.values.size()), group.first_picking, group.pickings});
  to.values.resize(to.values.size() + group.pickings, Frontier::unreached);
  table_[slot] = static_cast<std::uint32_t>(to.rows.size());
  return to.rows.size() - 1;
}

// Leaves out what is too dear to follow, and takes the smallest value off the others.
void Stepper::drop_dear(Frontier& to, std::vector<Backpointer>& links) {
  std::size_t rows = 0;
  std::uint32_t values = 0;
  for (Frontier::Row row : to.rows) {
    bool any = false;
    for (std::size_t p = 0; p < row.pickings; ++p) {
      any = any || is_worth(row.first_picking + p, row.hand.position, to.values[row.first_value + p]);
    }
    if (!any) continue;
    const std::uint32_t first = row.first_value;
    row.first_value = values;
    for (std::uint32_t p = first; p < first + row.pickings; ++p, ++values) {
      const int value = to.values[p];
      to.values[values] = value >= Frontier::unreached ? Frontier::unreached : value - best_;
      links[values] = links[p];
    }
    to.rows[rows++] = row;
  }
  to.rows.resize(rows);
  to.values.resize(values);
  links.resize(values);
  if (rows > 0) to.base += best_;
}

// Whether a value is worth following: near the cheapest with the same next picking and not far from the
// cheapest of all, or almost the cheapest with the hand there.
bool Stepper::is_worth(std::size_t picking, std::size_t position, int value) const {
  if (value > bound_left_) return false;
  const int best = std::min(bests_[picking], best_ + gap_);
  return value <= best + margin_ || (value <= best + far_margin &&
                                     value <= of_position_[picking * positions + position] + position_margin);
}

// How much a grip may cost after a row at most, if one of its pickings is to be worth following: near the
// cheapest, and wherever the hand leads. What is cheapest is only known in the end, so that this may be more
// than it turns out to be.
Stepper::Worth Stepper::most_worth(std::size_t row, const StrokeOptions::Group& group,
                                   std::size_t count) const {
  Worth most{-1, -1};
  for (std::size_t q = group.first_picking; q < std::size_t{group.first_picking} + group.pickings; ++q) {
    const int best = std::min(bests_[q], best_ + gap_);
    const int settled = settled_[row * count + q];
    most.near = std::max(most.near, std::min(bound_left_, best + margin_) - settled);
    most.far = std::max(most.far, std::min(bound_left_, best + std::max(margin_, far_margin)) - settled);
  }
  return most;
}

// The grips that a hand in that position can go on to.
const std::vector<std::uint16_t>& Stepper::grips_from(std::size_t position, const StrokeOptions& next) {
  std::vector<std::uint16_t>& grips = grips_from_[position];
  if (!grips_known_[position]) {
    grips_known_[position] = true;
    grips.clear();
    for (std::size_t g = 0; g < next.grips.size(); ++g) {
      if (FretHand::goes_from(static_cast<int>(position), next.grips[g]))
        grips.push_back(static_cast<std::uint16_t>(g));
    }
  }
  return grips;
}

Frontier Stepper::step(const Frontier& from, const std::shared_ptr<const StrokeOptions>& next, Wait wait,
                       std::vector<Backpointer>& links, const std::vector<int>& more, Coming coming) {
  const FretHand& fret_hand = model_.fret_hand();
  margin_ = bound_ == no_bound ? coming.margin : Frontier::unreached;
  gap_ = model_.picking_hand().most_repeat_cost(coming.wait);
  bound_left_ = static_cast<int>(std::min<Cost>(bound_ - from.base, Frontier::unreached - 1));
  settle(from, *next, wait);
  Frontier to;
  to.options = next;
  to.base = from.base;
  links.clear();
  std::fill(table_.begin(), table_.end(), 0);
  grips_known_.fill(false);
  const std::size_t count = next->pickings.size();
  best_ = Frontier::unreached;
  bests_.assign(count, Frontier::unreached);
  of_position_.assign(count * positions, Frontier::unreached);
  constexpr Worth not_known{INT_MAX, INT_MAX};
  own_costs_.clear();
  for (std::size_t g = 0; g < next->grips.size(); ++g)
    own_costs_.push_back(next->grips[g].total + (more.empty() ? 0 : more[g]));
  const int least_own = own_costs_.empty() ? 0 : *std::min_element(own_costs_.begin(), own_costs_.end());
  for (const std::uint32_t r : order_) {
    if (cheapest_[r] + least_own > std::min(bound_left_, best_ + gap_ + std::max(margin_, far_margin))) break;
    const HandState& hand = from.rows[r].hand;
    most_worth_.assign(count, not_known);
    std::uint16_t places = UINT16_MAX;
    int repeats = 0;  // at these places
    for (const std::uint16_t g : grips_from(hand.position, *next)) {
      const Grip& grip = next->grips[g];
      const StrokeOptions::Group& group = next->groups[g];
      int cost = own_costs_[g];
      Worth& most = most_worth_[group.first_picking];
      if (most.far == not_known.far) most = most_worth(r, group, count);
      if (cost > most.far) continue;
      if (places != grip.places) {
        places = grip.places;
        repeats = fret_hand.repeat_cost(hand, grip, wait);
      }
      cost += repeats;
      const int* const settled = &settled_[r * count + group.first_picking];
      const auto any_is_worth = [&](int so_far, std::size_t position) {
        for (std::size_t k = 0; k < group.pickings; ++k) {
          if (is_worth(group.first_picking + k, position, settled[k] + so_far)) return true;
        }
        return false;
      };
      const std::size_t position = grip.slides          ? unknown_position
                                   : grip.position != 0 ? grip.position
                                                        : hand.position;
      const int least = cost + fret_hand.least(hand, grip, wait);
      if (least > most.far || (least > most.near && !any_is_worth(least, position))) continue;
      HandState after;
      cost += fret_hand.move(hand, grip, wait, 0, after).total();
      if (cost >= HandMove::impossible || !any_is_worth(cost, after.position)) continue;
      const std::size_t first = to.rows[row_of(to, after, group)].first_value;
      links.resize(to.values.size());
      for (std::size_t k = 0; k < group.pickings; ++k) {
        const int value = settled[k] + cost;
        if (settled[k] >= Frontier::unreached || value >= to.values[first + k]) continue;
        const std::size_t q = group.first_picking + k;
        to.values[first + k] = value;
        best_ = std::min(best_, value);
        bests_[q] = std::min(bests_[q], value);
        int& there = of_position_[q * positions + after.position];
        there = std::min(there, value);
        links[first + k] = {before(from, r, q), {g, static_cast<std::uint16_t>(q)}};
      }
    }
  }
  drop_dear(to, links);
  return to;
}

}  // namespace fifthpeg::hands
