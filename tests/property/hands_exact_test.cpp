// The search finds the cheapest way, to the last unit: the same choices are built as an explicit graph, with
// no state passed over, and the shortest path through it is found by the Boost Graph Library.
#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/dag_shortest_paths.hpp>
#include <cstring>
#include <gtest/gtest.h>
#include <limits>
#include <map>
#include <optional>
#include <string>

#include "fifthpeg/errors.hpp"
#include "hands/search.hpp"
#include "property/hands_random.hpp"

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

// The cost of the cheapest way; -1 where the graph would grow past all reason.
Cost shortest_path(const Score& score, const std::vector<Event>& line, const Fit& fit, const Model& model,
                   Candidates& candidates) {
  constexpr std::size_t too_many_edges = 1'500'000;
  Graph graph(1);
  std::vector<State> states{{}};
  std::vector<std::size_t> vertices{0};
  RequestedStrokes strokes(score, line, fit);
  for (std::uint32_t i = 0; i < line.size(); ++i) {
    const auto options = candidates.of(strokes.at(i));
    std::map<std::string, std::size_t> known;
    std::vector<State> next_states;
    std::vector<std::size_t> next_vertices;
    for (std::size_t s = 0; s < states.size(); ++s) {
      for (std::size_t g = 0; g < options->grips.size(); ++g) {
        const Grip& grip = options->grips[g];
        State next;
        const HandMove move = model.fret_hand().move(states[s].hand, grip, line[i].seconds, next.hand);
        if (move.total() >= HandMove::impossible) continue;
        const StrokeOptions::Outline& outline = options->outlines[g];
        for (std::size_t p = 0; p < outline.pickings; ++p) {
          next.picking = options->pickings[outline.first_picking + p];
          const auto [entry, added] = known.emplace(key_of(next), next_states.size());
          if (added) {
            next_states.push_back(next);
            next_vertices.push_back(boost::add_vertex(graph));
          }
          const int cost = move.total() + grip.total + next.picking.cost +
                           model.picking_hand().repeat_cost(states[s].picking, next.picking, line[i].seconds);
          boost::add_edge(vertices[s], next_vertices[entry->second], cost, graph);
          if (boost::num_edges(graph) > too_many_edges) return -1;
        }
      }
    }
    states.swap(next_states);
    vertices.swap(next_vertices);
  }
  std::vector<int> distance(boost::num_vertices(graph));
  boost::dag_shortest_paths(graph, 0, boost::distance_map(distance.data()));
  int shortest = std::numeric_limits<int>::max();
  for (const std::size_t vertex : vertices) shortest = std::min(shortest, distance[vertex]);
  return shortest;
}

void compare_with_boost(Style style, const testing::PassageKind& kind, int passages, unsigned seed,
                        std::optional<bool> suggest_slurs = {}) {
  testing::RandomPassages random(seed);
  int compared = 0;
  for (int n = 0; n < passages; ++n) {
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
    const Path way = cheapest_path(score, line, fitted, model, candidates);
    const Cost shortest = shortest_path(score, line, fitted, model, candidates);
    if (shortest < 0) continue;
    ++compared;
    ASSERT_EQ(way.cost, shortest) << slug(style) << ", passage " << n << " of seed " << seed;
    // The way costs what it is said to cost, and what each kind of cost adds up to.
    Cost sum = 0;
    for (const auto& stroke : costs_by_kind(score, line, fitted, model, candidates, way)) {
      for (const std::int64_t cost : stroke) sum += cost;
    }
    ASSERT_EQ(sum, shortest);
  }
  EXPECT_GT(compared, passages / 2);
}

testing::PassageKind single_notes() {
  testing::PassageKind kind;
  kind.strokes = 7;
  kind.chords = 0;
  return kind;
}

testing::PassageKind chords_among_notes() {
  testing::PassageKind kind;
  kind.strokes = 5;
  kind.chords = 2;
  return kind;
}

// Plain notes, in which most states are passed over.
testing::PassageKind plain_notes() {
  testing::PassageKind kind;
  kind.strokes = 8;
  kind.frets = 10;
  kind.chords = 0;
  kind.graces = 0;
  kind.slurs = 0;
  kind.ties = 0;
  kind.fixed = 0;
  return kind;
}

TEST(HandsExact, Roll) {
  compare_with_boost(Style::roll, single_notes(), 30, 1);
  compare_with_boost(Style::roll, chords_among_notes(), 40, 2);
  compare_with_boost(Style::roll, plain_notes(), 20, 3);
}

TEST(HandsExact, Melodic) {
  compare_with_boost(Style::melodic, single_notes(), 30, 4);
  compare_with_boost(Style::melodic, chords_among_notes(), 30, 5);
  compare_with_boost(Style::melodic, plain_notes(), 20, 6);
}

TEST(HandsExact, SingleString) {
  compare_with_boost(Style::single_string, single_notes(), 30, 7);
  compare_with_boost(Style::single_string, chords_among_notes(), 30, 8);
  compare_with_boost(Style::single_string, plain_notes(), 20, 9);
}

TEST(HandsExact, Clawhammer) {
  compare_with_boost(Style::clawhammer, single_notes(), 30, 10);
  compare_with_boost(Style::clawhammer, chords_among_notes(), 30, 11);
  compare_with_boost(Style::clawhammer, plain_notes(), 20, 12);
}

TEST(HandsExact, SuggestedSlurs) {
  compare_with_boost(Style::roll, single_notes(), 30, 13, true);
  compare_with_boost(Style::clawhammer, plain_notes(), 20, 15, true);
}

// In clawhammer slurs are added unless they are to be kept as they are.
TEST(HandsExact, ClawhammerWithoutAddedSlurs) {
  compare_with_boost(Style::clawhammer, plain_notes(), 30, 16, false);
  compare_with_boost(Style::clawhammer, chords_among_notes(), 20, 17, false);
}

// Passing states over changes nothing on passages that are too long for a graph.
TEST(HandsExact, NothingIsLostByPassingStatesOver) {
  testing::RandomPassages random(14);
  testing::PassageKind kind;
  kind.strokes = 40;
  kind.frets = 22;
  for (int n = 0; n < 4; ++n) {
    for (const Style style : {Style::roll, Style::melodic, Style::single_string, Style::clawhammer}) {
      const Score score = random.next(kind);
      HandsOptions options;
      options.transpose = 0;
      options.thin = true;
      const Model model(score.banjo, options, style);
      Candidates candidates = model.candidates();
      const std::vector<Event> line = line_of(score);
      const Fit fitted = fit(score, line, options, candidates);
      EXPECT_EQ(cheapest_path(score, line, fitted, model, candidates, true).cost,
                cheapest_path(score, line, fitted, model, candidates, false).cost);
    }
  }
}

}  // namespace
}  // namespace fifthpeg::hands
