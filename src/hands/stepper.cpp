#include "hands/stepper.hpp"

#include <algorithm>
#include <cstdlib>
#include <cstring>
#include <limits>

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
  frontier.rows.push_back({{}, 0, 0, 1});
  frontier.values.push_back(0);
  frontier.options = nothing;
  return frontier;
}

// ---- before the grips are tried ----

void Stepper::weigh_repeats(const StrokeOptions& before, const StrokeOptions& next, Times times) {
  const std::size_t count = next.pickings.size();
  const Repeats repeats = model_.picking_hand().repeats(times.before);
  const Repeats later = model_.picking_hand().repeats(times.after);
  pickings_ = next.picking_lanes.width();
  repeats_.resize(before.pickings.size() * pickings_);
  Cost16* repeat = repeats_.data();
  for (const Picking& first : before.pickings) {
    next.picking_lanes.cost_after(first, repeats, repeat);
    repeat += pickings_;
  }
  picking_finger_gaps_.resize(count);
  for (std::size_t q = 0; q < count; ++q) {
    picking_finger_gaps_[q] = prune_ ? later.at_most_dearer(next.pickings[q]) : Frontier::unreached;
  }
}

// The cheapest hands first: what they lead to limits the others.
void Stepper::gather(const Frontier& from) {
  order_.clear();
  for (std::size_t r = 0; r < from.rows.size(); ++r) {
    const Frontier::Row& row = from.rows[r];
    const int* const values = &from.values[row.first_value];
    int cheapest = values[0];
    for (std::size_t p = 1; p < row.pickings; ++p) cheapest = std::min(cheapest, values[p]);
    if (cheapest < far) order_.push_back(static_cast<std::uint64_t>(cheapest) << 32U | r);
  }
  std::sort(order_.begin(), order_.end());
  leaving_.clear();
  for (const std::uint64_t cost_and_row : order_) {
    const Frontier::Row& row = from.rows[cost_and_row & UINT32_MAX];
    leaving_.push_back({&row, model_.fret_hand().bars_spare(row.hand), shifts_from(row.hand)});
  }
}

void Stepper::prepare(const Frontier& from, const StrokeOptions& next, Times times) {
  seconds_ = times.before;
  from_ = &from;
  weigh_repeats(*from.options, next, times);
  gather(from);
  for (Arrivals& arrivals : arrivals_) arrivals.known = false;
  settle(from, next);
  limits_.assign(next.limits, Frontier::unreached);
  most_free_.assign(next.rows, HandState::most_free);
  worth_.resize(hands_);
  worthy_.resize(hands_ + 1);
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

const Cost16* Stepper::arrivals_at(std::size_t position) {
  Arrivals& arrivals = arrivals_[position];
  if (arrivals.known) return arrivals.costs.data();
  arrivals.known = true;
  arrivals.costs.assign(hands_, 0);
  for (std::size_t h = 0; h < leaving_.size(); ++h) {
    arrivals.costs[h] = small(leaving_[h].shifts[position] - leaving_[h].bars_spare);
  }
  return arrivals.costs.data();
}

// What each hand has come to before each next picking: its own pickings are settled.
void Stepper::settle(const Frontier& from, const StrokeOptions& next) {
  hands_ = in_lanes(leaving_.size());
  settled_.assign(hands_ * pickings_, small(far));
  for (std::size_t h = 0; h < leaving_.size(); ++h) {
    Cost16* const settled = &settled_[h * pickings_];
    const Frontier::Row& row = *leaving_[h].row;
    for (std::size_t p = 0; p < row.pickings; ++p) {
      const int value = std::min(from.values[row.first_value + p], far);
      keep_smaller(settled, &repeats_[(row.first_picking + p) * pickings_], small(value), pickings_);
    }
  }
  by_picking_.resize(settled_.size());
  for (std::size_t h = 0; h < hands_; ++h) {
    for (std::size_t q = 0; q < pickings_; ++q) by_picking_[q * hands_ + h] = settled_[h * pickings_ + q];
  }
  least_.assign(next.groups.size() * hands_, small(far));
  for (std::size_t k = 0; k < next.groups.size(); ++k) {
    Cost16* const least = &least_[k * hands_];
    const StrokeOptions::Group& group = next.groups[k];
    for (std::size_t q = group.first_picking; q < std::size_t{group.first_picking} + group.pickings; ++q) {
      keep_smaller(least, &by_picking_[q * hands_], 0, hands_);
    }
  }
}

// ---- the new frontier ----

// The row of a hand after the grip that is tried; the rows of other grips are left apart.
std::size_t Stepper::row_of(Frontier& to, const HandState& hand, const StrokeOptions::Outline& outline) {
  constexpr std::size_t few = 12;
  const auto add = [&] {
    to.rows.push_back(
        {hand, static_cast<std::uint32_t>(to.values.size()), outline.first_picking, outline.pickings});
    to.values.resize(to.values.size() + outline.pickings, Frontier::unreached);
    return to.rows.size() - 1;
  };
  const std::size_t rows = to.rows.size() - rows_before_;
  if (rows <= few) {
    for (std::size_t r = rows_before_; r < to.rows.size(); ++r) {
      if (same(to.rows[r].hand, hand)) return r;
    }
    return add();
  }
  if (rows == few + 1 || 2 * rows >= table_.size()) {
    table_.assign(std::max<std::size_t>(64, 4 * rows), 0);
    for (std::size_t r = rows_before_; r < to.rows.size(); ++r) *slot_of(to, to.rows[r].hand) = r + 1;
  }
  std::size_t& slot = *slot_of(to, hand);
  if (slot == 0) slot = add() + 1;
  return slot - 1;
}

// Where the hash table has the row of a hand, or has room for it.
std::size_t* Stepper::slot_of(const Frontier& to, const HandState& hand) {
  std::size_t slot = hash_of(hand) % table_.size();
  while (table_[slot] != 0 && !same(to.rows[table_[slot] - 1].hand, hand)) slot = (slot + 1) % table_.size();
  return &table_[slot];
}

// The value that a settled cost comes from.
std::uint32_t Stepper::before(std::size_t h, std::size_t q) const {
  const Frontier::Row& row = *leaving_[h].row;
  std::size_t p = 0;
  while (from_->values[row.first_value + p] + repeats_[(row.first_picking + p) * pickings_ + q] !=
         settled_[h * pickings_ + q]) {
    ++p;
  }
  return row.first_value + static_cast<std::uint32_t>(p);
}

void Stepper::enter(std::size_t g, std::size_t h, int cost, int spared, const HandState& after, int* limits,
                    Frontier& to, std::vector<Backpointer>& links) {
  const StrokeOptions::Outline& outline = to.options->outlines[g];
  const std::size_t first_value = to.rows[row_of(to, after, outline)].first_value;
  if (links.size() < to.values.size()) links.resize(to.values.size());
  int* const values = &to.values[first_value];
  const Cost16* const settled = &settled_[h * pickings_ + outline.first_picking];
  const int* const gaps = &picking_finger_gaps_[outline.first_picking];
  const int dearer = model_.fret_hand().older_at_most_dearer(after, to.options->grips[g]);
  int any_picking_finger = Frontier::unreached;
  for (std::size_t k = 0; k < outline.pickings; ++k) {
    const int value = settled[k] + cost;
    if (settled[k] >= far || (spared != unlimited && value - spared >= limits[k])) continue;
    if (value < values[k]) {
      const std::size_t q = outline.first_picking + k;
      values[k] = value;
      links[first_value + k] = {before(h, q), {static_cast<std::uint16_t>(g), static_cast<std::uint16_t>(q)}};
    }
    limits[k] = std::min(limits[k], value + dearer);
    any_picking_finger = std::min(any_picking_finger, value + dearer + gaps[k]);
  }
  for (std::size_t k = 0; k < outline.pickings; ++k) limits[k] = std::min(limits[k], any_picking_finger);
}

// Tries one grip that stops a string from the hands that are worth it.
void Stepper::try_hands(std::size_t g, Frontier& to, std::vector<Backpointer>& links) {
  const StrokeOptions::Outline& outline = to.options->outlines[g];
  const Cost16* const arrivals = arrivals_at(outline.shifts_to);
  const Cost16* const least = &least_[outline.group * hands_];
  // The hand first that comes there most cheaply: what it leads to limits the others.
  const Cost16 smallest = add_up(worth_.data(), least, arrivals, hands_);
  std::size_t first = 0;
  while (worth_[first] != smallest) ++first;
  try_grip(g, first, to, links);

  std::fill(worth_.begin(), worth_.end(), prune_ ? 0 : 1);
  for (std::size_t k = 0; k < outline.pickings && prune_; ++k) {
    const Cost16 limit = small(std::clamp(limits_[outline.first_limit + k] - outline.cost, -far, 2 * far));
    mark_below(worth_.data(), &by_picking_[(outline.first_picking + k) * hands_], arrivals, limit, hands_);
  }
  // Written down without a branch for each hand: which are worth it cannot be foreseen.
  std::size_t count = 0;
  for (std::size_t h = 0; h < leaving_.size(); ++h) {
    worthy_[count] = static_cast<std::uint32_t>(h);
    count += static_cast<std::size_t>(worth_[h]);
  }
  for (std::size_t k = 0; k < count; ++k) {
    if (worthy_[k] != first) try_grip(g, worthy_[k], to, links);
  }
}

// Tries one grip from one hand; adds to the frontier what it may lead to.
void Stepper::try_grip(std::size_t g, std::size_t h, Frontier& to, std::vector<Backpointer>& links) {
  const StrokeOptions::Outline& outline = to.options->outlines[g];
  const Leaving& hand = leaving_[h];
  const HandState& before = hand.row->hand;
  if ((outline.slurred & ~before.sounding) != 0) return;
  const bool open = outline.position == 0;
  const std::size_t nth = open ? before.position : 0;
  int* const limits = &limits_[outline.first_limit + nth * outline.pickings];
  std::uint8_t& most_free = most_free_[outline.row + nth];
  const Cost16* const settled = &settled_[h * pickings_ + outline.first_picking];
  const bool limited = prune_ && before.free_for <= most_free;
  const auto is_within = [&](int cost) {
    for (std::size_t k = 0; k < outline.pickings; ++k) {
      if (settled[k] + cost < limits[k]) return true;
    }
    return false;
  };
  if (limited && !is_within(outline.cost + hand.shifts[outline.shifts_to] - hand.bars_spare)) return;

  const Grip& grip = to.options->grips[g];
  HandState after;
  const int cost = model_.fret_hand().move(before, grip, seconds_, after).total() + outline.cost;
  if (cost >= HandMove::impossible) return;
  const int spared = limited ? model_.fret_hand().older_bars_spare(after, grip) : unlimited;
  if (limited && !is_within(cost - spared)) return;

  enter(g, h, cost, spared, after, limits, to, links);
  if (open) most_free = std::min(most_free, before.free_for);
}

// Of one row, what is dominated by another picking finger.
void Stepper::pass_over_picking_fingers(Frontier& to) const {
  for (const Frontier::Row& row : to.rows) {
    int* const values = &to.values[row.first_value];
    int limit = Frontier::unreached;
    for (std::size_t k = 0; k < row.pickings; ++k) {
      limit = std::min(limit, values[k] + picking_finger_gaps_[row.first_picking + k]);
    }
    for (std::size_t k = 0; k < row.pickings; ++k) {
      if (values[k] > limit) values[k] = Frontier::unreached;
    }
  }
}

Frontier Stepper::step(const Frontier& from, const std::shared_ptr<const StrokeOptions>& next, Times times,
                       std::vector<Backpointer>& links, const std::vector<bool>& allowed) {
  prepare(from, *next, times);
  Frontier to;
  to.options = next;
  to.base = from.base;
  links.clear();
  if (leaving_.empty()) return to;
  to.rows.reserve(2 * next->grips.size());
  to.values.reserve(6 * next->grips.size());
  links.reserve(6 * next->grips.size());
  for (std::size_t g = 0; g < next->grips.size(); ++g) {
    if (!allowed.empty() && !allowed[g]) continue;
    const StrokeOptions::Outline& outline = next->outlines[g];
    rows_before_ = to.rows.size();
    if (outline.position == 0) {
      for (std::size_t h = 0; h < leaving_.size(); ++h) try_grip(g, h, to, links);
      continue;
    }
    try_hands(g, to, links);
  }
  if (prune_) pass_over_picking_fingers(to);
  if (!to.values.empty()) {
    const int smallest = *std::min_element(to.values.begin(), to.values.end());
    for (int& value : to.values) {
      if (value < Frontier::unreached) value -= smallest;
    }
    to.base += smallest;
  }
  return to;
}

}  // namespace fifthpeg::hands
