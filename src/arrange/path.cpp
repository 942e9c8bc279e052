#include "arrange/path.hpp"

#include <algorithm>
#include <map>
#include <memory>
#include <string>
#include <unordered_map>
#include <utility>

#include "arrange/stroke_order.hpp"
#include "arrange/weights.hpp"

namespace fifthpeg::arranging {
namespace {

using hands::HandMove;
using hands::HandState;
using hands::Picking;
using hands::StrokeOptions;
using hands::Wait;

constexpr std::int64_t first_margin = 400;    // while there is nothing to compare with
constexpr std::size_t most_hands = 5;         // states of the fret hand with one candidate
constexpr std::size_t others_looked_at = 24;  // where music comes back
constexpr float grace_wholes = 1.0F / 32.0F;

// What the hands do in one instant of a candidate.
struct Instant {
  std::shared_ptr<const StrokeOptions> options;
  float after = 0;  // whole notes since the instant before, or since the unit's start
};

struct Compiled {
  std::vector<Instant> instants;
  float trailing = 0;  // from the last instant to the unit's end
};

// A state after a unit.
struct State {
  std::int64_t cost = 0;
  HandState hand;
  Picking picking;
  float since = 0;  // whole notes since the last stroke
  std::uint16_t candidate = 0;
  std::uint32_t before = 0;
};

// How a state was reached.
struct Link {
  std::uint32_t before;
  std::uint16_t candidate;
};

bool is_cheaper(const State& a, const State& b) {
  return a.cost < b.cost;
}

class Compiler {
 public:
  Compiler(const hands::Model& model, const Neckwork& neck) : found_(model.candidates()), neck_(neck) {}

  Compiled compile(const Unit& unit, const Candidate& candidate) {
    Compiled result;
    const auto slot_wholes = static_cast<float>(unit.slot.to_double());
    int last = 0;
    for (int s = 0; s < candidate.count; ++s) {
      const SlotPlay& slot = candidate.slots[static_cast<std::size_t>(s)];
      if (slot.count == 0) continue;
      float after = static_cast<float>(s - last) * slot_wholes;
      last = s;
      const bool grace = slot.from_fret >= 0;
      if (grace) {
        Played from = slot.notes[0];
        from.fret = slot.from_fret;
        from.into = Technique::none;
        hands::RequestedStroke stroke = start(unit, s);
        add(stroke, from, from.finger);
        result.instants.push_back({found_.of(stroke), after});
        after = grace_wholes;
      }
      hands::RequestedStroke stroke = start(unit, s);
      std::vector<Played> notes(slot.notes.begin(), slot.notes.begin() + slot.count);
      std::stable_sort(notes.begin(), notes.end(), [this](const Played& a, const Played& b) {
        return neck_.pitch(a.string, a.fret) > neck_.pitch(b.string, b.fret);
      });
      stroke.brush = slot.brush != Brush::none;
      for (const Played& note : notes) add(stroke, note, grace ? Played::slurred : note.finger);
      result.instants.push_back({found_.of(stroke), after});
    }
    result.trailing = static_cast<float>(candidate.count - last) * slot_wholes;
    return result;
  }

 private:
  static hands::RequestedStroke start(const Unit& unit, int slot) {
    hands::RequestedStroke stroke;
    stroke.off_beat = !unit.on_beat(slot);
    stroke.chord = unit.harmony.hands;
    return stroke;
  }
  void add(hands::RequestedStroke& stroke, const Played& note, std::int8_t finger) const {
    hands::RequestedNote& asked = stroke.add();
    asked.midi = static_cast<std::int16_t>(neck_.pitch(note.string, note.fret));
    asked.string = note.string;
    asked.fret = note.fret;
    if (finger != Played::slurred) asked.picking_finger = finger;
    if (note.into != Technique::none) {
      asked.slurs = hands::RequestedNote::bit(note.into);
      asked.slur_asked = true;
    }
  }

  hands::Candidates found_;
  const Neckwork& neck_;
};

}  // namespace

int roll_seam(const Unit& unit_before, const Candidate& before, const Candidate& next, int level) {
  if (before.count == 0) return 0;
  if (before.piece.goes_on || next.piece.from > 0) {  // what belongs together stays together
    const bool same = before.piece.lick == next.piece.lick && before.piece.goes_on &&
                      before.piece.from + before.count == next.piece.from;
    return same ? 0 : not_done;
  }
  int cost = 0;
  const SlotPlay& last = before.slots[static_cast<std::size_t>(before.count - 1)];
  const SlotPlay& first = next.slots[0];
  if (last.count > 0 && first.count > 0) {
    for (std::size_t a = 0; a < static_cast<std::size_t>(last.count); ++a) {
      for (std::size_t b = 0; b < static_cast<std::size_t>(first.count); ++b) {
        if (first.notes[b].finger != Played::slurred && last.notes[a].finger == first.notes[b].finger &&
            last.brush == Brush::none && first.brush == Brush::none)
          cost += not_done;
        if (last.notes[a].string != first.notes[b].string) continue;
        const bool both = last.notes[a].role == Role::melody && first.notes[b].role == Role::melody;
        cost += both ? same_string : not_done / 2;
      }
    }
    cost += cost_of_two(last, first, level);
  }
  for (int from = -3; from <= -1; ++from) {
    if (before.count + from < 0 || from + 4 > next.count) continue;
    std::array<const SlotPlay*, 4> four{};
    for (int s = from; s < from + 4; ++s) {
      const int there = s < 0 ? before.count + s : s;
      const SlotPlay& slot = (s < 0 ? before : next).slots[static_cast<std::size_t>(there)];
      four.at(static_cast<std::size_t>(s - from)) = &slot;
    }
    cost += cost_of_four(four);
  }
  if (!unit_before.ends_phrase && before.pattern != next.pattern)
    cost += other_pattern.at(static_cast<std::size_t>(level - 1));
  return cost;
}

namespace {

// How sure its chord is plays no part: equal music is arranged equally.
std::string key_of(const Unit& unit) {
  std::string key = to_string(unit.harmony.symbol);
  const auto add = [&key](int value) {
    key += ' ';
    key += std::to_string(value);
  };
  add(unit.harmony.known ? 1 : 0);
  add(unit.next_chord);
  add(unit.slots);
  add(unit.beats);
  add((unit.begins_measure ? 1 : 0) + (unit.pickup ? 2 : 0) + (unit.ends_phrase ? 4 : 0));
  add(unit.held);
  add(unit.next_midi);
  add(unit.peak);
  add(std::min<int>(unit.next_after, 8));
  for (const Wanted& one : unit.wanted) {
    add(one.slot);
    add(std::min<int>(one.length, 8));
    add(one.midi);
    add(one.weight);
    add(one.next);
    add((one.ends_phrase ? 1 : 0) + (one.anticipates ? 2 : 0));
  }
  for (const LickPiece& piece : unit.licks) {
    add(piece.lick);
    add(piece.from);
    add(piece.goes_on ? 1 : 0);
  }
  return key;
}

using Choices = std::shared_ptr<const std::vector<Candidate>>;

class Search {
 public:
  Search(const hands::Model& model, const Neckwork& neck, Seam seam, int margin)
      : model_(model), neck_(neck), seam_(seam), margin_(margin), compiler_(model, neck) {
    states_.emplace_back();
  }

  void add(const Unit& unit, const Choices& choices) {
    widen_margin(unit);
    std::vector<Compiled> compiled;
    compiled.reserve(choices->size());
    for (const Candidate& candidate : *choices) compiled.push_back(compiler_.compile(unit, candidate));
    const auto seams = seams_to(*choices);
    find_hands();
    std::vector<State> next;
    std::int64_t best = INT64_MAX;
    for (std::size_t c = 0; c < choices->size(); ++c) {
      std::vector<State> reached = enter(compiled[c], (*choices)[c], seams[c], best);
      for (State& state : reached) {
        state.candidate = static_cast<std::uint16_t>(c);
        best = std::min(best, state.cost);
        next.push_back(state);
      }
    }
    std::stable_sort(next.begin(), next.end(), is_cheaper);
    const auto dear = std::find_if(next.begin(), next.end(), [&](const State& state) {
      return state.cost > best + margin_ + more_margin_;
    });
    next.erase(dear, next.end());
    if (next.size() > most_states) next.resize(most_states);
    std::vector<Link> links;
    links.reserve(next.size());
    for (const State& state : next) links.push_back({state.before, state.candidate});
    links_.push_back(std::move(links));
    states_ = std::move(next);
    unit_ = &unit;
    choices_ = choices;
    if (unit.licks.empty()) more_margin_ = 0;
  }

  // Which candidate was chosen for each unit.
  std::vector<std::uint16_t> chosen() const {
    std::vector<std::uint16_t> result(links_.size());
    std::uint32_t at = 0;
    for (std::size_t u = links_.size(); u-- > 0;) {
      result[u] = links_[u][at].candidate;
      at = links_[u][at].before;
    }
    return result;
  }
  std::int64_t cost() const { return states_.front().cost; }

 private:
  // Whether there is a way out of a player's own lick is known behind it: what is played in its place is
  // followed until then, although it is dearer.
  void widen_margin(const Unit& unit) {
    if (!unit.licks.empty()) more_margin_ -= own_lick;
  }

  // By next candidate and by the one before.
  std::vector<std::vector<int>> seams_to(const std::vector<Candidate>& next) const {
    std::vector<std::vector<int>> seams(next.size());
    if (choices_ == nullptr) return seams;
    for (std::size_t c = 0; c < next.size(); ++c) {
      seams[c].resize(choices_->size());
      for (std::size_t b = 0; b < choices_->size(); ++b)
        seams[c][b] = seam_(*unit_, (*choices_)[b], next[c], neck_.level());
    }
    return seams;
  }

  // The different states of the fret hand, since many candidates leave the same.
  void find_hands() {
    hands_.clear();
    hand_of_.assign(states_.size(), 0);
    moves_.clear();
    for (std::size_t i = 0; i < states_.size(); ++i) {
      const auto same = std::find_if(hands_.begin(), hands_.end(), [&](const Hand& hand) {
        return hand.state == states_[i].hand && hand.since == states_[i].since;
      });
      hand_of_[i] = static_cast<std::size_t>(same - hands_.begin());
      if (same == hands_.end()) hands_.push_back({states_[i].hand, states_[i].since});
    }
  }

  struct Move {
    int cost = 0;  // more than `impossible`: not at all
    HandState after;
  };
  // From one of the hands to the grips of the first instant.
  const std::vector<Move>& moves(std::size_t hand, const Instant& instant) {
    auto& known = moves_[{instant.options.get(), instant.after}];
    if (known.size() < hands_.size()) known.resize(hands_.size());
    auto& result = known[hand];
    if (result.size() == instant.options->grips.size()) return result;
    const float wholes = std::min(hands_[hand].since + instant.after, 64.0F);
    result.clear();
    result.reserve(instant.options->grips.size());
    for (const hands::Grip& grip : instant.options->grips) {
      Move move;
      move.cost =
          model_.fret_hand().move(hands_[hand].state, grip, {wholes * 2, wholes}, move.after).total() +
          grip.total;
      result.push_back(move);
    }
    return result;
  }

  static void keep(std::vector<State>& states, const State& state) {
    for (State& other : states) {
      if (!(other.hand == state.hand) || other.since != state.since) continue;
      if (state.cost < other.cost) other = state;
      return;
    }
    states.push_back(state);
  }

  std::vector<State> enter(const Compiled& compiled, const Candidate& candidate,
                           const std::vector<int>& seams, std::int64_t best) {
    std::vector<State> reached;
    if (compiled.instants.empty()) {
      for (std::size_t i = 0; i < states_.size() && reached.size() < most_hands; ++i) {
        State state = states_[i];
        state.cost += candidate.cost + (seams.empty() ? 0 : seams[states_[i].candidate]);
        state.before = static_cast<std::uint32_t>(i);
        state.since += compiled.trailing;
        keep(reached, state);
      }
      return reached;
    }
    const Instant& first = compiled.instants.front();
    std::int64_t bound = best == INT64_MAX ? INT64_MAX : best + margin_ + more_margin_;
    for (std::size_t i = 0; i < states_.size(); ++i) {
      const State& from = states_[i];
      const std::int64_t base = from.cost + candidate.cost + (seams.empty() ? 0 : seams[from.candidate]);
      if (base > bound) continue;
      const auto& all = moves(hand_of_[i], first);
      const float wholes = std::min(from.since + first.after, 64.0F);
      for (std::size_t g = 0; g < all.size(); ++g) {
        if (all[g].cost >= HandMove::impossible || base + all[g].cost > bound) continue;
        State state;
        state.hand = all[g].after;
        state.before = static_cast<std::uint32_t>(i);
        state.cost = base + all[g].cost + pick(*first.options, g, from.picking, wholes, state.picking);
        keep(reached, state);
        if (bound == INT64_MAX) bound = state.cost + first_margin;
      }
    }
    for (std::size_t k = 1; k < compiled.instants.size(); ++k) {
      trim(reached);
      reached = go_on(reached, compiled.instants[k]);
    }
    trim(reached);
    for (State& state : reached) state.since = compiled.trailing;
    return reached;
  }

  static void trim(std::vector<State>& states) {
    std::stable_sort(states.begin(), states.end(), is_cheaper);
    if (states.size() > most_hands) states.resize(most_hands);
  }

  std::vector<State> go_on(const std::vector<State>& from, const Instant& instant) const {
    std::vector<State> reached;
    for (const State& before : from) {
      for (std::size_t g = 0; g < instant.options->grips.size(); ++g) {
        State state;
        const HandMove move = model_.fret_hand().move(before.hand, instant.options->grips[g],
                                                      {instant.after * 2, instant.after}, state.hand);
        if (move.total() >= HandMove::impossible) continue;
        state.before = before.before;
        state.cost = before.cost + move.total() + instant.options->grips[g].total +
                     pick(*instant.options, g, before.picking, instant.after, state.picking);
        keep(reached, state);
      }
    }
    return reached;
  }

  // The cheapest picking of a grip, which are few: its fingers are given.
  std::int64_t pick(const StrokeOptions& options, std::size_t grip, const Picking& before, float wholes,
                    Picking& picked) const {
    const StrokeOptions::Group group = options.groups[grip];
    std::int64_t best = INT64_MAX;
    for (std::size_t p = group.first_picking;
         p < static_cast<std::size_t>(group.first_picking + group.pickings); ++p) {
      const Picking& picking = options.pickings[p];
      const std::int64_t cost =
          picking.cost + model_.picking_hand().repeat_cost(before, picking, {wholes * 2, wholes});
      if (cost < best) {
        best = cost;
        picked = picking;
      }
    }
    return best;
  }

  struct Hand {
    HandState state;
    float since = 0;
  };

  const hands::Model& model_;
  const Neckwork& neck_;
  Seam seam_;
  int margin_;
  int more_margin_ = 0;
  Compiler compiler_;
  std::vector<State> states_;
  std::vector<Hand> hands_;
  std::vector<std::size_t> hand_of_;
  std::map<std::pair<const StrokeOptions*, float>, std::vector<std::vector<Move>>> moves_;  // looked up only
  const Unit* unit_ = nullptr;                                                              // before
  Choices choices_;                                                                         // of it
  std::vector<std::vector<Link>> links_;
};

// The same strings and frets, whatever the picking fingers.
bool same_places(const Candidate& a, const Candidate& b) {
  for (std::size_t s = 0; s < most_slots; ++s) {
    const SlotPlay& one = a.slots[s];
    const SlotPlay& other = b.slots[s];
    if (one.count != other.count || one.from_fret != other.from_fret) return false;
    for (std::size_t n = 0; n < static_cast<std::size_t>(one.count); ++n) {
      if (one.notes[n].string != other.notes[n].string || one.notes[n].fret != other.notes[n].fret)
        return false;
    }
  }
  return true;
}

// The one that was chosen, and others that are taken only where it does not go. Not the same with other
// fingers: where thumb and index alternate for long, all that follows would change fingers for one place far
// away.
Choices with_others(const std::vector<Candidate>& all, std::size_t chosen) {
  std::vector<Candidate> some{all[chosen]};
  some.reserve(others_looked_at + 1);
  for (std::size_t c = 0; c < all.size() && some.size() <= others_looked_at; ++c) {
    if (c == chosen || same_places(all[c], all[chosen])) continue;
    some.push_back(all[c]);
    some.back().cost += unlike;
  }
  return std::make_shared<const std::vector<Candidate>>(std::move(some));
}

}  // namespace

std::int64_t cost_of(const std::vector<Unit>& units, const std::vector<Candidate>& chosen,
                     const hands::Model& model, const Neckwork& neck, Seam seam) {
  Search search(model, neck, seam, margin);
  for (std::size_t u = 0; u < units.size(); ++u)
    search.add(units[u], std::make_shared<const std::vector<Candidate>>(1, chosen[u]));
  return search.cost();
}

Way cheapest_way(const std::vector<Unit>& units, const Candidates& candidates, const hands::Model& model,
                 const Neckwork& neck, Seam seam) {
  struct Known {
    Choices choices;
    std::uint16_t chosen = 0;
  };
  // Units are the same where their neighbors are, too: what leads into one and out of it is then the same.
  std::vector<std::string> keys;
  keys.reserve(units.size());
  for (const Unit& unit : units) keys.push_back(key_of(unit));
  const auto key_at = [&](std::size_t u) { return u < keys.size() ? keys[u] : std::string(); };
  std::unordered_map<std::string, Choices> made;
  std::unordered_map<std::string, std::size_t> numbers;
  std::vector<Known> known;
  std::vector<std::size_t> number_of(units.size());
  Search first(model, neck, seam, margin);
  for (std::size_t u = 0; u < units.size(); ++u) {
    const std::string key = (u > 0 ? keys[u - 1] : std::string()) + '|' + keys[u] + '|' + key_at(u + 1);
    const auto [at, is_new] = numbers.emplace(key, known.size());
    number_of[u] = at->second;
    if (!is_new) continue;
    Choices& choices = made[keys[u]];
    if (choices == nullptr) choices = std::make_shared<const std::vector<Candidate>>(candidates(units[u]));
    known.push_back({choices, 0});
    first.add(units[u], choices);
  }
  Way way;
  if (units.empty()) return way;
  const auto chosen = first.chosen();
  for (std::size_t k = 0; k < known.size(); ++k) known[k].chosen = chosen[k];
  way.cost = first.cost();
  way.chosen.reserve(units.size());
  if (known.size() == units.size()) {
    for (const Known& one : known) way.chosen.push_back((*one.choices)[one.chosen]);
    return way;
  }
  // What comes once gives way to what comes back.
  std::vector<int> times(known.size());
  for (const std::size_t number : number_of) ++times[number];
  Search all(model, neck, seam, margin_where_alike);
  std::vector<Choices> few(known.size());
  for (std::size_t u = 0; u < units.size(); ++u) {
    const std::size_t number = number_of[u];
    const bool after = u > 0 && times[number_of[u - 1]] > 1;
    const bool before = u + 1 < units.size() && times[number_of[u + 1]] > 1;
    if (few[number] == nullptr) {
      const bool free = times[number] == 1 && (after || before);
      few[number] = free ? known[number].choices : with_others(*known[number].choices, known[number].chosen);
    }
    all.add(units[u], few[number]);
  }
  const auto final_choice = all.chosen();
  for (std::size_t u = 0; u < units.size(); ++u) {
    way.chosen.push_back((*few[number_of[u]])[final_choice[u]]);
  }
  way.cost = all.cost();
  return way;
}

}  // namespace fifthpeg::arranging
