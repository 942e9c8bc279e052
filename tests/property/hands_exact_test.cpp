// The search finds the cheapest way, to the last unit: the same choices are built as an explicit graph and
// the shortest path through it is found by the Boost Graph Library. The graph leaves out only what costs more
// than the way that the search found, of which no cheaper way can be a part, since no cost is negative.
#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/dag_shortest_paths.hpp>
#include <cstring>
#include <gtest/gtest.h>
#include <limits>
#include <optional>
#include <string>
#include <unordered_map>

#include "fifthpeg/errors.hpp"
#include "hands/search.hpp"
#include "property/hands_random.hpp"
#include "tried.hpp"

namespace fifthpeg::hands {
namespace {

using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::directedS, boost::no_property,
                                    boost::property<boost::edge_weight_t, int>>;

struct State {
  HandState hand;
  Picking picking;
};

std::string key_of(const State& state) {
  std::string key(sizeof(HandState), '\0');
  std::memcpy(key.data(), &state.hand, sizeof(HandState));
  for (const std::int8_t picking_finger : state.picking.picking_fingers)
    key += static_cast<char>('a' + picking_finger);
  return key;
}

// The cost of the cheapest way, if it is not above `bound`; otherwise the largest number.
Cost shortest_path(const Score& score, const std::vector<Event>& line, const Fit& fit, const Model& model,
                   Candidates& candidates, Cost bound) {
  struct Reached {
    std::size_t vertex;
    Cost cost;
    State state;
  };
  Graph graph(1);
  std::vector<Reached> reached{{0, 0, {}}};
  RequestedStrokes strokes(score, line, fit);
  for (std::uint32_t i = 0; i < line.size(); ++i) {
    const auto options = candidates.of(strokes.at(i));
    std::unordered_map<std::string, std::size_t> known;
    std::vector<Reached> next;
    for (const Reached& from : reached) {
      for (std::size_t g = 0; g < options->grips.size(); ++g) {
        const Grip& grip = options->grips[g];
        State state;
        if (from.cost + grip.total > bound) continue;
        const HandMove move = model.fret_hand().move(from.state.hand, grip, line[i].wait, state.hand);
        if (from.cost + grip.total + move.total() > bound) continue;
        const StrokeOptions::Group& group = options->groups[g];
        for (std::size_t p = 0; p < group.pickings; ++p) {
          state.picking = options->pickings[group.first_picking + p];
          const int cost = move.total() + grip.total + state.picking.cost +
                           model.picking_hand().repeat_cost(from.state.picking, state.picking, line[i].wait);
          if (from.cost + cost > bound) continue;
          const auto [entry, added] = known.emplace(key_of(state), next.size());
          if (added) next.push_back({boost::add_vertex(graph), from.cost + cost, state});
          Reached& to = next[entry->second];
          to.cost = std::min(to.cost, from.cost + cost);
          boost::add_edge(from.vertex, to.vertex, cost, graph);
        }
      }
    }
    reached.swap(next);
  }
  std::vector<int> distance(boost::num_vertices(graph));
  boost::dag_shortest_paths(graph, 0, boost::distance_map(distance.data()));
  int shortest = std::numeric_limits<int>::max();
  for (const Reached& last : reached) shortest = std::min(shortest, distance[last.vertex]);
  return shortest;
}

void compare_with_boost(Style style, const testing::PassageKind& kind, int passages, unsigned seed,
                        std::optional<bool> suggest_slurs = {}) {
  testing::RandomPassages random(seed);
  for (int n = 0; n < testing::tried(passages); ++n) {
    const Score score = random.next(kind);
    HandsOptions options;
    options.suggest_slurs = suggest_slurs;
    options.transpose = 0;
    options.thin = true;
    if (random.one_in(5)) options.position = FretRange{3, 7};
    const Model model(score.banjo, options, style);
    Candidates candidates = model.candidates();
    const std::vector<Event> line = line_of(score);
    const Fit fitted = fit(score, line, options, candidates);
    const Path path = cheapest_path(score, line, fitted, model, candidates, {}, false);
    // The way costs what it is said to cost, and what each kind of cost adds up to.
    Cost sum = 0;
    for (const auto& stroke : costs_by_kind(score, line, fitted, model, candidates, path)) {
      for (const std::int64_t cost : stroke) sum += cost;
    }
    ASSERT_EQ(sum, path.cost);
    EXPECT_EQ(path.cost, shortest_path(score, line, fitted, model, candidates, path.cost))
        << slug(style) << ", passage " << n << " of seed " << seed;
  }
}

testing::PassageKind single_notes() {
  testing::PassageKind kind;
  kind.strokes = 5;
  kind.chords = 0;
  return kind;
}

testing::PassageKind chords_among_notes() {
  testing::PassageKind kind;
  kind.strokes = 4;
  kind.chords = 2;
  return kind;
}

// Plain notes, in which most states are passed over.
testing::PassageKind plain_notes() {
  testing::PassageKind kind;
  kind.strokes = 6;
  kind.chords = 0;
  kind.graces = 0;
  kind.slurs = 0;
  kind.ties = 0;
  kind.fixed = 0;
  return kind;
}

// Of each kind, with more frets in every other.
void compare_kinds(Style style, int passages, unsigned seed, std::optional<bool> suggest_slurs = {}) {
  for (testing::PassageKind kind : {single_notes(), chords_among_notes(), plain_notes()}) {
    for (const int frets : {12, 17}) {
      kind.frets = frets;
      compare_with_boost(style, kind, passages, seed++, suggest_slurs);
    }
  }
}

TEST(HandsExact, Roll) {
  compare_kinds(Style::roll, 60, 1);
}

// As long as lines are that are proven.
TEST(HandsExact, ALineOfTwelveStrokes) {
  testing::PassageKind kind = plain_notes();
  kind.strokes = static_cast<int>(proven_line);
  compare_with_boost(Style::roll, kind, 20, 60);
  compare_with_boost(Style::clawhammer, kind, 5, 61);
}

TEST(HandsExact, Melodic) {
  compare_kinds(Style::melodic, 40, 10);
}

TEST(HandsExact, SingleString) {
  compare_kinds(Style::single_string, 40, 20);
}

TEST(HandsExact, Clawhammer) {
  compare_kinds(Style::clawhammer, 40, 30);
}

TEST(HandsExact, SuggestedSlurs) {
  compare_kinds(Style::roll, 20, 40, true);
}

// In clawhammer slurs are added unless they are to be kept as they are.
TEST(HandsExact, ClawhammerWithoutAddedSlurs) {
  compare_kinds(Style::clawhammer, 20, 50, false);
}

}  // namespace
}  // namespace fifthpeg::hands
