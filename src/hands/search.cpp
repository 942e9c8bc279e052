#include "hands/search.hpp"

#include <algorithm>
#include <cstdlib>

namespace fifthpeg::hands {
namespace {

constexpr CostTable costs;
// A tied note that would change its string; only taken where fixed placements leave nothing else.
constexpr Cost broken_tie = 1000;

struct State {
  Cost cost = 0;
  std::uint16_t laid = 0;    // index into the stroke's ways
  std::uint16_t before = 0;  // index into the states before
  std::int8_t position = 0;  // 0 until the hand first stops a string
};

struct Step {  // what is kept of a stroke for the way back
  std::uint16_t laid;
  std::uint16_t before;
};

Cost cost_of_laying(const Laid& laid, const Neck& neck) {
  Cost cost = 0;
  for (int i = 0; i < laid.count; ++i) {
    const Placement& at = laid.notes[static_cast<std::size_t>(i)];
    if (at.fret == 0) continue;
    cost += costs.fretted + std::max(0, at.fret - 5) * costs.up_the_neck;
    if (at.string == drone_string) cost += costs.fretted_drone;
  }
  if (laid.high_fret > laid.low_fret) {
    const double strain = neck.span_mm(laid.low_fret, laid.high_fret) - comfortable_span_mm;
    if (strain > 0) cost += static_cast<Cost>(strain / 10.0 * costs.stretch_10_mm);
  }
  return cost;
}

// The position after the stroke: a hand that spans four frets need not move for a note within them.
int position_after(int before, const Laid& laid) {
  if (laid.low_fret == 0) return before;
  if (before > 0 && laid.low_fret >= before && laid.high_fret <= before + 3) return before;
  return laid.low_fret;
}

Cost cost_of_going(const Laid& from, int position_before, const Laid& to, int position) {
  Cost cost = 0;
  if (position != position_before && position_before > 0) {
    cost += costs.shift + std::abs(position - position_before) * costs.shift_fret;
    if (from.low_fret > 0) cost += costs.shift_uncovered;
  }
  for (int i = 0; i < to.count; ++i) {
    for (int j = 0; j < from.count; ++j) {
      if (to.notes[static_cast<std::size_t>(i)].string == from.notes[static_cast<std::size_t>(j)].string) {
        cost += costs.same_string;
      }
    }
  }
  return cost;
}

Cost cost_of_ties(const WantedStroke& wanted, const WantedStroke& wanted_before, const Laid& from,
                  const Laid& to) {
  Cost cost = 0;
  for (int i = 0; i < to.count; ++i) {
    const auto here = static_cast<std::size_t>(i);
    if (!wanted.notes[here].tied) continue;
    bool goes_on = false;
    bool could = false;
    for (int j = 0; j < from.count; ++j) {
      const auto there = static_cast<std::size_t>(j);
      could = could || wanted_before.notes[there].midi == wanted.notes[here].midi;
      goes_on = goes_on || from.notes[there] == to.notes[here];
    }
    if (could && !goes_on) cost += broken_tie;
  }
  return cost;
}

}  // namespace

Way cheapest_way(const Score& score, const std::vector<Instant>& line, const Fit& fit, bool keep,
                 const Neck& neck) {
  std::vector<Step> steps;
  std::vector<std::size_t> first_step;  // of each stroke
  first_step.reserve(line.size() + 1);
  std::vector<State> states;
  std::vector<State> next;
  std::vector<Laid> ways_before;
  WantedStroke wanted_before;
  WantedStrokes strokes(score, line, fit, keep);

  for (std::uint32_t i = 0; i < line.size(); ++i) {
    const WantedStroke wanted = strokes.at(i);
    std::vector<Laid> ways = ways_to_lay(wanted, score.banjo, neck);
    next.clear();
    for (std::uint16_t w = 0; w < ways.size(); ++w) {
      const Cost laying = cost_of_laying(ways[w], neck);
      const std::size_t first = next.size();
      const auto offer = [&](const State& state) {
        for (std::size_t n = first; n < next.size(); ++n) {
          if (next[n].position != state.position) continue;
          if (state.cost < next[n].cost) next[n] = state;
          return;
        }
        next.push_back(state);
      };
      if (i == 0) {
        offer({laying, w, 0, static_cast<std::int8_t>(position_after(0, ways[w]))});
        continue;
      }
      for (std::uint16_t s = 0; s < states.size(); ++s) {
        const Laid& from = ways_before[states[s].laid];
        const int position = position_after(states[s].position, ways[w]);
        const Cost cost = states[s].cost + laying +
                          cost_of_going(from, states[s].position, ways[w], position) +
                          cost_of_ties(wanted, wanted_before, from, ways[w]);
        offer({cost, w, s, static_cast<std::int8_t>(position)});
      }
    }
    first_step.push_back(steps.size());
    for (const State& state : next) steps.push_back({state.laid, state.before});
    states.swap(next);
    ways_before.swap(ways);
    wanted_before = wanted;
  }

  Way way;
  if (line.empty()) return way;
  const auto best = std::min_element(states.begin(), states.end(),
                                     [](const State& a, const State& b) { return a.cost < b.cost; });
  way.cost = best->cost;
  std::vector<std::uint16_t> chosen(line.size());
  auto state = static_cast<std::size_t>(best - states.begin());
  for (std::size_t i = line.size(); i-- > 0;) {
    const Step& step = steps[first_step[i] + state];
    chosen[i] = step.laid;
    state = step.before;
  }
  WantedStrokes again(score, line, fit, keep);
  for (std::uint32_t i = 0; i < line.size(); ++i) {
    const std::vector<Laid> ways = ways_to_lay(again.at(i), score.banjo, neck);
    const Laid& laid = ways[chosen[i]];
    way.placements.insert(way.placements.end(), laid.notes.begin(), laid.notes.begin() + laid.count);
  }
  return way;
}

}  // namespace fifthpeg::hands
