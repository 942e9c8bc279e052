#include "hands/stepper.hpp"

#include <algorithm>
#include <cstdlib>
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

// The cheapest hands first: what they lead to limits the others.
void Stepper::order_hands(std::size_t hands, std::size_t pickings) {
  cheapest_.resize(hands);
  order_.resize(hands);
  for (std::size_t h = 0; h < hands; ++h) {
    order_[h] = static_cast<std::uint32_t>(h);
    cheapest_[h] = *std::min_element(&settled_[h * pickings], &settled_[h * pickings] + pickings);
  }
  std::sort(order_.begin(), order_.end(), [this](std::uint32_t a, std::uint32_t b) {
    return cheapest_[a] != cheapest_[b] ? cheapest_[a] < cheapest_[b] : a < b;
  });
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

// At least what a hand's shift to each position costs.
const int* Stepper::shifts_from(const HandState& hand) {
  const bool as_block = FretHand::may_go_as_block(hand);
  Shifts& shifts = shifts_[as_block ? 1 : 0][hand.free_for][hand.position];
  if (shifts.seconds != seconds_) {
    shifts.seconds = seconds_;
    shifts.to.fill(0);
    for (std::size_t to = 1; to < HandState::positions && hand.position != 0; ++to) {
      const int frets = std::abs(static_cast<int>(to) - static_cast<int>(hand.position));
      if (frets != 0) shifts.to[to] = model_.fret_hand().shift_cost(frets, hand.free_for, as_block, seconds_);
    }
  }
  return shifts.to.data();
}

// Tries one grip from the hand that is left; adds to the frontier what it may lead to.
void Stepper::try_grip(std::size_t g, Frontier& frontier, std::vector<Link>& links) {
  const StrokeOptions::Outline& outline = frontier.options->outlines[g];
  const HandState& before = leaving_.hand;
  const std::size_t pickings = frontier.pickings;
  const std::size_t first = outline.first_picking;
  const std::size_t last = first + outline.pickings;
  const int* const settled = &settled_[leaving_.index * pickings];
  const std::size_t row = outline.row + (outline.position == 0 ? std::size_t{before.position} : 0);
  int* const limits = &limits_[row * pickings];
  const bool limited = prune_ && before.free_for <= most_free_[row];
  const auto is_within = [=](int cost) {
    for (std::size_t q = first; q < last; ++q) {
      if (settled[q] + cost < limits[q]) return true;
    }
    return false;
  };
  if (limited && !is_within(outline.cost + leaving_.shifts[outline.shifts_to] - leaving_.bars_spare)) return;

  const Grip& grip = frontier.options->grips[g];
  HandState after;
  const int cost = model_.fret_hand().move(before, grip, seconds_, after).total() + outline.cost;
  if (cost >= HandMove::impossible) return;
  if (limited && !is_within(cost - model_.fret_hand().older_bars_spare(after, grip))) return;

  const std::size_t place = place_of(frontier, after);
  if (place * pickings == frontier.values.size()) {
    frontier.values.resize(frontier.values.size() + pickings, Frontier::unreached);
    links.resize(frontier.values.size());
  }
  const int dearer = model_.fret_hand().older_at_most_dearer(after, grip);
  for (std::size_t q = first; q < last; ++q) {
    if (settled[q] >= Frontier::unreached) continue;
    const int value = settled[q] + cost;
    const std::size_t entry = place * pickings + q;
    if (value < frontier.values[entry]) {
      frontier.values[entry] = value;
      links[entry] = {settled_by_[leaving_.index * pickings + q],
                      {static_cast<std::uint16_t>(g), static_cast<std::uint16_t>(q)}};
    }
    if (value + dearer < limits[q]) {
      limits[q] = value + dearer;
      if (outline.position == 0) most_free_[row] = std::min(most_free_[row], before.free_for);
    }
  }
  if (prune_ && outline.position != 0) highest_limit_[g] = *std::max_element(limits + first, limits + last);
}

void Stepper::prepare(const Frontier& from, const StrokeOptions& next, float seconds) {
  seconds_ = seconds;
  settle_digits(from, next, seconds);
  order_hands(from.hands.size(), next.pickings.size());
  clear_places(64 + next.grips.size());
  limits_.assign(next.rows * next.pickings.size(), Frontier::unreached);
  most_free_.assign(next.rows, HandState::most_free);
  highest_limit_.assign(next.grips.size(), Frontier::unreached);
}

Frontier Stepper::step(const Frontier& from, const std::shared_ptr<const StrokeOptions>& next, float seconds,
                       std::vector<Link>& links, const std::vector<bool>& allowed) {
  prepare(from, *next, seconds);
  Frontier frontier;
  frontier.options = next;
  frontier.pickings = next->pickings.size();
  frontier.base = from.base;
  links.clear();
  for (const std::uint32_t h : order_) {
    leaving_ = {from.hands[h], h, model_.fret_hand().bars_spare(from.hands[h]), shifts_from(from.hands[h])};
    const int cheapest = cheapest_[h] - leaving_.bars_spare;
    for (std::size_t g = 0; g < next->grips.size(); ++g) {
      const StrokeOptions::Outline& outline = next->outlines[g];
      // What most come to.
      if (cheapest + outline.cost + leaving_.shifts[outline.shifts_to] >= highest_limit_[g]) continue;
      if (allowed.empty() || allowed[g]) try_grip(g, frontier, links);
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

}  // namespace fifthpeg::hands
