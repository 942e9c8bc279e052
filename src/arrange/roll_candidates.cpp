#include <algorithm>
#include <cstdlib>
#include <optional>
#include <utility>

#include "arrange/candidates.hpp"
#include "arrange/licks.hpp"
#include "arrange/stroke_order.hpp"
#include "arrange/weights.hpp"

namespace fifthpeg::arranging {
namespace {

constexpr int finger_costs[3][string_count + 1] = {
    // By string, 1 to 5: what the hands' table says of picking, so that a cell is solved as they would.
    {0, 100, 20, 0, 0, 0},
    {0, 20, 0, 10, 40, 400},
    {0, 0, 14, 50, 400, 600},
};
constexpr int same_finger = 10'000;

using Strings = std::array<std::int8_t, most_slots>;

// A cell on its way to a candidate.
struct Draft {
  Strings strings{};                       // 0: nothing new is struck
  Strings second{};                        // of a pinch; 0: none
  Strings fingers{};                       // PickingFinger, where it is fixed
  std::array<bool, most_slots> slurred{};  // from the slot before, on the same string
  bool fixed_fingers = false;
  int pattern = -1;
  int cost = 0;
  int ornament = -1;  // slot with a grace note
  int from_fret = 0;

  int string_at(int slot) const { return strings.at(static_cast<std::size_t>(slot)); }
};

struct Ornament {
  int string;
  int from;
  int to;
};
// Slides and hammer-ons that lead to a note on the beat, in first position of open G and its relatives.
// Common practice: the third string's slide above all.
constexpr Ornament ornaments[] = {{3, 2, 4}, {4, 2, 5}, {1, 2, 5}, {2, 0, 1}, {4, 0, 2}, {3, 0, 2}};

class Builder {
 public:
  Builder(const Unit& unit, Neckwork& neck) : unit_(unit), neck_(neck) {
    wanted_at_.fill(-1);
    for (std::size_t w = 0; w < unit.wanted.size(); ++w)
      wanted_at_.at(static_cast<std::size_t>(unit.wanted[w].slot)) = static_cast<int>(w);
  }

  std::vector<Candidate> run() {
    const auto stands = neck_.stands(unit_);
    for (const auto& stand : stands) {
      stand_ = &stand;
      if (!unit_.pickup && unit_.harmony.known) {
        from_cells();
        add_licks();
      }
      // Without fills there is nothing that another part of the neck would serve, but for the notes
      // themselves.
      freely(&stand == &stands.front() || unit_.pickup || !unit_.harmony.known);
    }
    std::vector<Candidate> kept = best();
    for (Candidate& candidate : kept) candidate.cost -= rough_hands(candidate);
    kept.push_back(rest());
    return kept;
  }

 private:
  // The cheapest, and of each finger that may begin some, since the unit before may end with the finger that
  // begins all others.
  std::vector<Candidate> best() {
    const auto cheaper = [](const Candidate& a, const Candidate& b) { return a.cost < b.cost; };
    std::stable_sort(made_.begin(), made_.end(), cheaper);
    std::vector<Candidate> kept;
    kept.reserve(most_candidates + 3 * fewest_beginnings);
    std::array<std::size_t, 3> beginnings{};
    for (const Candidate& candidate : made_) {
      const int finger = candidate.slots[0].count > 0 ? candidate.slots[0].notes[0].finger : -1;
      std::size_t* const begun =
          finger >= 0 && finger < 3 ? &beginnings.at(static_cast<std::size_t>(finger)) : nullptr;
      if (kept.size() >= most_candidates && (begun == nullptr || *begun >= fewest_beginnings)) continue;
      const auto same = [&](const Candidate& other) { return other.slots == candidate.slots; };
      if (std::any_of(kept.begin(), kept.end(), same)) continue;
      kept.push_back(candidate);
      if (begun != nullptr) ++*begun;
    }
    return kept;
  }

  // ---- drafts ----------------------------------------------------------------------------------

  const Wanted* wanted_at(int slot) const {
    const int at = wanted_at_.at(static_cast<std::size_t>(slot));
    return at < 0 ? nullptr : &unit_.wanted[static_cast<std::size_t>(at)];
  }
  // On a string of the stand, or -1.
  int fret_on(int string, int midi) const {
    const int fret = neck_.fret_of(string, midi);
    return fret >= 0 && stand_->has(string, fret) ? fret : -1;
  }

  void from_cells() {
    const auto& cells = cells_of(unit_.slots);
    for (std::size_t c = 0; c < cells.size(); ++c) {
      const Cell& cell = cells[c];
      if (cell.free && neck_.level() > 1 && !unit_.ends_phrase && !unit_.wanted.empty()) continue;
      Draft draft;
      draft.pattern = static_cast<int>(c);
      draft.cost = cell.cost;
      draft.fixed_fingers = true;
      for (std::size_t s = 0; s < static_cast<std::size_t>(unit_.slots); ++s) {
        const CellSlot& slot = cell.slots[s];
        if (slot.count > 0) draft.strings[s] = slot.struck[0].string;
        if (slot.count > 1) draft.second[s] = slot.struck[1].string;
        draft.fingers[s] = static_cast<std::int8_t>(slot.struck[0].finger);
      }
      finish(draft);
      replace(draft, 0, cell.cost);
      slur(draft);
      ornament(draft);
      pinches(draft);
    }
  }

  // Strings of the cell give way to the melody, where it is not on them: one, or at higher levels two.
  void replace(const Draft& draft, int depth, int cell_cost) {
    const int most = neck_.level() >= 3 ? 2 : 1;
    if (depth >= most) return;
    for (const Wanted& wanted : unit_.wanted) {
      const auto s = static_cast<std::size_t>(wanted.slot);
      if (draft.strings[s] != 0 && fret_on(draft.strings[s], wanted.midi) >= 0) continue;
      for (int string = 1; string <= string_count; ++string) {
        if (fret_on(string, wanted.midi) < 0) continue;
        Draft other = draft;
        other.strings[s] = static_cast<std::int8_t>(string);
        if (other.second[s] == string) other.second[s] = 0;
        other.fixed_fingers = false;
        other.cost += replaced + cell_cost / 2;
        finish(other);
        ornament(other);
        replace(other, depth + 1, cell_cost);
      }
      break;  // the first that is missing; the next one is the next depth's
    }
  }

  // Two melody notes on one string, the second hammered on, pulled off or slid to.
  void slur(const Draft& draft) {
    if (neck_.level() < 2) return;
    for (std::size_t w = 0; w + 1 < unit_.wanted.size(); ++w) {
      const Wanted& one = unit_.wanted[w];
      const Wanted& two = unit_.wanted[w + 1];
      if (two.slot != one.slot + 1 || unit_.on_beat(two.slot) || one.midi == two.midi ||
          std::abs(one.midi - two.midi) > 3)
        continue;
      const auto s = static_cast<std::size_t>(one.slot);
      for (int string = 1; string < fifth_string; ++string) {
        const int from = fret_on(string, one.midi);
        const int to = fret_on(string, two.midi);
        if (from < 0 || to < 0) continue;
        Draft other = draft;
        other.strings[s] = other.strings[s + 1] = static_cast<std::int8_t>(string);
        other.second[s] = other.second[s + 1] = 0;
        other.slurred[s + 1] = true;
        other.fixed_fingers = false;
        other.cost += slurred_note + (draft.strings[s] == string ? 0 : replaced / 2);
        finish(other);
      }
    }
  }

  // A slide or hammer-on into a melody note on the beat.
  void ornament(const Draft& draft) {
    if (neck_.level() < 2 || stand_->low != 1) return;
    for (const Wanted& wanted : unit_.wanted) {
      if (!unit_.on_beat(wanted.slot) || wanted.length < 1) continue;
      const int string = draft.string_at(wanted.slot);
      for (const Ornament& one : ornaments) {
        if (one.string != string || one.to != fret_on(string, wanted.midi)) continue;
        if (!unit_.harmony.tones.has(wanted.midi)) continue;
        Draft other = draft;
        other.ornament = wanted.slot;
        other.from_fret = one.from;
        other.cost +=
            arranging::ornament + (wanted.next != 0 && wanted.next < wanted.midi ? ornament_before_lower : 0);
        finish(other);
        break;
      }
    }
  }

  // A phrase lands on a pinch, and a long note may begin with one: the melody with the drone, or with the
  // first string if it is on a low one.
  void pinches(const Draft& draft) {
    if (neck_.level() < 2) return;
    for (const Wanted& wanted : unit_.wanted) {
      if (wanted.ends_phrase) {
        pinch_at(draft, wanted.slot, landing_pinch);
      } else if (wanted.length >= long_slots && unit_.on_beat(wanted.slot)) {
        pinch_at(draft, wanted.slot, long_pinch);
      }
    }
  }

  void pinch_at(const Draft& draft, int slot, int cost) {
    const auto s = static_cast<std::size_t>(slot);
    if (draft.second[s] != 0 || draft.strings[s] == 0 || draft.strings[s] == fifth_string) return;
    const bool high = draft.strings[s] <= 2;
    Draft other = draft;
    other.second[s] = static_cast<std::int8_t>(high ? fifth_string : 1);
    other.fingers[s] = static_cast<std::int8_t>(high ? PickingFinger::middle : PickingFinger::thumb);
    other.cost += cost;
    finish(other);
  }

  // The melody's notes alone choose the strings: what runs in eighths needs, and what no cell carries. Fills
  // stand where there is room.
  void freely(bool also_bare) {
    if (unit_.wanted.empty()) return;
    Draft draft;
    draft.cost = off_pattern();
    place_melody(draft, 0, also_bare);
  }

  // A pickup has no pattern yet.
  int off_pattern() const { return unit_.pickup ? 0 : of_level(no_pattern); }
  int of_level(const std::array<int, 4>& costs) const {
    return costs.at(static_cast<std::size_t>(neck_.level() - 1));
  }

  void place_melody(const Draft& draft, std::size_t w, bool also_bare) {
    if (w == unit_.wanted.size()) {
      if (also_bare) {
        Draft bare = draft;
        bare.cost += off_pattern();
        finish(bare);
      }
      if (!unit_.harmony.known || unit_.pickup) return;
      Draft filled = draft;
      const bool few = neck_.level() <= 2 && unit_.wanted.size() <= 2;
      if (few) filled.cost += off_pattern();  // few notes had better be on a cell
      fill_gaps(filled, 0);
      return;
    }
    const Wanted& wanted = unit_.wanted[w];
    bool any = false;
    for (int string = 1; string <= string_count; ++string) {
      if (fret_on(string, wanted.midi) < 0) continue;
      any = true;
      Draft other = draft;
      other.strings[static_cast<std::size_t>(wanted.slot)] = static_cast<std::int8_t>(string);
      place_melody(other, w + 1, also_bare);
    }
    if (!any) place_melody(draft, w + 1, also_bare);  // it is left out
  }

  // In each gap the drone, or the string that is furthest from its neighbors.
  void fill_gaps(const Draft& draft, int from) {
    for (int s = from; s < unit_.slots; ++s) {
      const auto at = static_cast<std::size_t>(s);
      if (draft.strings[at] != 0) continue;
      for (const int string : {5, 1, 2, 3}) {
        if (string == (s > 0 ? draft.strings[at - 1] : 0)) continue;
        if (s + 1 < unit_.slots && string == draft.strings[at + 1]) continue;
        if (string != fifth_string && stand_->fill.at(static_cast<std::size_t>(string)) < 0) continue;
        Draft other = draft;
        other.strings[at] = static_cast<std::int8_t>(string);
        fill_gaps(other, s + 1);
      }
      return;
    }
    finish(draft);
    slur_freely(draft);
  }

  void slur_freely(const Draft& draft) {
    if (neck_.level() < 2) return;
    for (int s = 1; s < unit_.slots; ++s) {
      const auto at = static_cast<std::size_t>(s);
      const Wanted* one = wanted_at(s - 1);
      const Wanted* two = wanted_at(s);
      if (one == nullptr || two == nullptr || draft.strings[at] != draft.strings[at - 1] ||
          unit_.on_beat(s) || one->midi == two->midi || std::abs(one->midi - two->midi) > 3 ||
          draft.strings[at] == fifth_string)
        continue;
      Draft other = draft;
      other.slurred[at] = true;
      other.cost += slurred_note;
      finish(other);
    }
  }

  void add_licks() {
    if (!unit_.ends_phrase || unit_.wanted.size() > 1 || stand_->low != 1) return;
    if (!unit_.wanted.empty() && (unit_.wanted.front().slot != 0 || !unit_.wanted.front().ends_phrase))
      return;
    for (const Lick& lick : licks_for(unit_, neck_)) {
      Candidate candidate = lick.played;
      candidate.cost = table_lick + lick.cost;
      if (!unit_.wanted.empty()) {
        // It begins with the closing note.
        SlotPlay& first = candidate.slots[0];
        if (first.count == 0 ||
            neck_.pitch(first.notes[0].string, first.notes[0].fret) != unit_.wanted[0].midi)
          continue;
        first.notes[0].wanted = 0;
        first.notes[0].role = Role::melody;
      }
      candidate.cost += rough_hands(candidate);
      made_.push_back(candidate);
    }
  }

  // Nothing at all, which can always be done.
  Candidate rest() const {
    Candidate candidate;
    candidate.count = unit_.slots;
    const bool resting = unit_.pickup || !unit_.harmony.known;
    candidate.cost = unit_.slots * (resting ? empty_slot / 4 : empty_slot);
    for (const Wanted& wanted : unit_.wanted) candidate.cost += wanted.weight;
    return candidate;
  }

  // ---- from a draft to a candidate ---------------------------------------------------------------

  // Where no cell says the fingers, it is made with two beginnings, since the unit before may end with
  // either.
  void finish(Draft draft) {
    if (draft.fixed_fingers) {
      make(draft);
      return;
    }
    Strings picked = draft.strings;
    for (std::size_t s = 0; s < most_slots; ++s) {
      if (draft.slurred[s]) picked[s] = 0;
    }
    draft.fingers = picking_fingers(picked, unit_.slots);
    make(draft);
    if (picked[0] == 0) return;
    draft.fingers = picking_fingers(picked, unit_.slots, draft.fingers[0]);
    make(draft);
  }

  void make(const Draft& draft) {
    Candidate candidate;
    candidate.count = unit_.slots;
    candidate.pattern = static_cast<std::int16_t>(draft.pattern);
    candidate.cost = draft.cost;
    int sounding = unit_.held;
    bool on_beat_melody = false;
    int melody_string = 0;
    for (int s = 0; s < unit_.slots; ++s) {
      const Wanted* const wanted = wanted_at(s);
      if (wanted != nullptr) {
        sounding = wanted->midi;
        on_beat_melody = unit_.on_beat(s);
        melody_string = 0;
      }
      const auto cost = play(draft, s, wanted, {sounding, on_beat_melody, melody_string}, candidate);
      if (!cost) return;
      candidate.cost += *cost;
      if (wanted != nullptr && candidate.slots[static_cast<std::size_t>(s)].count > 0 &&
          candidate.slots[static_cast<std::size_t>(s)].notes[0].role == Role::melody)
        melody_string = candidate.slots[static_cast<std::size_t>(s)].notes[0].string;
    }
    if (!strings_go(candidate)) return;
    candidate.cost += rough_hands(candidate);
    made_.push_back(candidate);
  }

  struct Sounding {
    int midi = 0;
    bool on_beat = false;
    int string = 0;  // where it rings; 0: it does not
  };

  // The notes of a slot, and what they cost; nothing where the draft does not go there.
  std::optional<int> play(const Draft& draft, int s, const Wanted* wanted, Sounding sounding,
                          Candidate& candidate) const {
    const auto at = static_cast<std::size_t>(s);
    SlotPlay& slot = candidate.slots[at];
    const int string = draft.string_at(s);
    if (string == 0) {
      const bool resting = unit_.ends_phrase || unit_.pickup || !unit_.harmony.known;
      return (wanted != nullptr ? wanted->weight : 0) + (resting ? empty_slot / 4 : empty_slot);
    }
    int cost = 0;
    Played note;
    note.string = static_cast<std::int8_t>(string);
    note.finger = draft.fingers[at];
    const int fret = wanted != nullptr ? fret_on(string, wanted->midi) : -1;
    if (fret >= 0) {
      note.fret = static_cast<std::int8_t>(fret);
      note.role = Role::melody;
      note.wanted = static_cast<std::int8_t>(wanted - unit_.wanted.data());
      cost += string == 4 ? on_fourth : string == fifth_string ? on_fifth : 0;
      if (neck_.level() <= 2 && stand_->low > 1 && fret > first_frets && neck_.is_low(wanted->midi))
        cost += up_for_nothing;
      if (draft.slurred[at]) {
        const Played& before = candidate.slots[at - 1].notes[0];
        if (before.string != string || before.fret == fret) return std::nullopt;
        const int rise = fret - before.fret;
        note.finger = Played::slurred;
        note.into = rise < 0 ? Technique::pull_off : Technique::hammer_on;
      }
      if (draft.ornament == s) {
        slot.from_fret = static_cast<std::int8_t>(draft.from_fret);
        note.into = draft.from_fret == 0 ? Technique::hammer_on : Technique::slide;
      }
    } else {
      if (draft.slurred[at] || draft.ornament == s) return std::nullopt;
      if (wanted != nullptr) cost += wanted->weight;
      const auto filled = fill(s, string, sounding, note);
      if (!filled) return std::nullopt;
      cost += *filled;
      if (s > 0 && sounds(candidate.slots[at - 1], neck_.pitch(string, note.fret))) cost += pitch_again;
      if (wanted != nullptr && pitch_class(neck_.pitch(string, note.fret)) == pitch_class(wanted->midi))
        cost += stands_in;
    }
    if ((string == 4 && note.finger == static_cast<std::int8_t>(PickingFinger::index)) ||
        (string == 3 && note.finger == static_cast<std::int8_t>(PickingFinger::middle)))
      cost += reaches_over;
    cost += dull_each_fret * std::max(0, note.fret - dull_above.at(static_cast<std::size_t>(string - 1)));
    slot.notes[0] = note;
    slot.count = 1;
    if (draft.second[at] != 0) {
      Played other;
      other.string = draft.second[at];
      other.finger = static_cast<std::int8_t>(other.string == fifth_string ? PickingFinger::thumb
                                                                           : PickingFinger::middle);
      if (note.finger == other.finger) return std::nullopt;
      const auto filled = fill(s, other.string, sounding, other);
      if (!filled) return std::nullopt;
      slot.notes[1] = other;
      slot.count = 2;
      cost += *filled + pinched_note;
    }
    return cost;
  }

  bool sounds(const SlotPlay& slot, int midi) const {
    return slot.count > 0 && neck_.pitch(slot.notes[0].string, slot.notes[0].fret) == midi;
  }

  int drone(int midi, bool beat) const {
    const int usual = beat ? drone_on_beat : of_level(drone_off_beat);
    if (unit_.harmony.tones.has(midi)) return usual;
    return unit_.harmony.bears(midi) ? usual + drone_beside : drone_against;
  }

  std::optional<int> fill(int s, int string, Sounding sounding, Played& note) const {
    const Harmony& harmony = unit_.harmony;
    const bool is_drone = string == fifth_string;
    const int fret = is_drone ? 0 : stand_->fill_on(string);
    if (fret < 0) return std::nullopt;
    note.fret = static_cast<std::int8_t>(fret);
    note.role = is_drone ? Role::drone : Role::fill;
    const int midi = neck_.pitch(string, fret);
    const bool beat = unit_.on_beat(s);
    int cost = is_drone ? drone(midi, beat) : 0;
    if ((harmony.doubtful & ChordTones::bit(midi)) != 0) cost += drone_beside;
    if (sounding.midi != 0) {
      const int apart = pitch_class(midi - sounding.midi);
      const bool half = apart == 1 || apart == 11;
      if (half && is_drone && sounding.on_beat) return std::nullopt;
      if (half) cost += half_step[beat ? 0 : 1];
      if (apart == 2 || apart == 10) cost += whole_step[beat ? 0 : 1];
      if (!is_drone && midi > sounding.midi) cost += above_melody;
    }
    if (string == sounding.string) cost += cuts_melody;
    const Wanted* const next = s + 1 < unit_.slots ? wanted_at(s + 1) : nullptr;
    const int coming = next != nullptr                                 ? next->midi
                       : s + 1 == unit_.slots && unit_.next_after == 0 ? unit_.next_midi
                                                                       : 0;
    if (coming == midi) cost += anticipates;
    return cost;
  }

  // Which strings follow which inside the unit.
  bool strings_go(Candidate& candidate) const {
    bool thumb = false;
    int struck = 0;
    int drones = 0;
    for (int s = 0; s < candidate.count; ++s) {
      const SlotPlay& slot = candidate.slots[static_cast<std::size_t>(s)];
      if (slot.count == 0) continue;
      ++struck;
      if (slot.notes[0].role == Role::drone) candidate.cost += drones++ * drone_again;
      for (std::size_t n = 0; n < static_cast<std::size_t>(slot.count); ++n)
        thumb = thumb || slot.notes[n].finger == static_cast<std::int8_t>(PickingFinger::thumb);
      if (s == 0) continue;
      const SlotPlay& before = candidate.slots[static_cast<std::size_t>(s - 1)];
      if (before.count == 0) continue;
      if (finger_twice(before, slot)) return false;
      candidate.cost += cost_of_two(before, slot, neck_.level());
      if (slot.notes[0].string == before.notes[0].string && slot.notes[0].finger != Played::slurred) {
        if (slot.notes[0].role != Role::melody || before.notes[0].role != Role::melody) return false;
        candidate.cost += same_string;
      }
    }
    if (!thumb && struck > 1 && !unit_.pickup) candidate.cost += no_thumb;
    for (std::size_t s = 0; s + 4 <= static_cast<std::size_t>(candidate.count); ++s) {
      const auto& slots = candidate.slots;
      candidate.cost += cost_of_four({&slots[s], &slots[s + 1], &slots[s + 2], &slots[s + 3]});
    }
    return true;
  }

  static bool finger_twice(const SlotPlay& before, const SlotPlay& slot) {
    for (std::size_t a = 0; a < static_cast<std::size_t>(before.count); ++a) {
      for (std::size_t b = 0; b < static_cast<std::size_t>(slot.count); ++b) {
        if (slot.notes[b].finger != Played::slurred && slot.notes[b].finger == before.notes[a].finger)
          return true;
        if (slot.notes[b].finger != Played::slurred && slot.count + before.count > 2 &&
            slot.notes[b].string == before.notes[a].string)
          return true;
      }
    }
    return false;
  }

  // About what it will cost the hands, so that what is kept for the search is worth it.
  static int rough_hands(const Candidate& candidate) {
    int cost = 0;
    std::array<int, string_count + 1> held{};
    for (const SlotPlay& slot : candidate.slots) {
      for (std::size_t n = 0; n < static_cast<std::size_t>(slot.count); ++n) {
        const Played& note = slot.notes[n];
        if (note.finger >= 0 && note.finger < 3) cost += finger_costs[note.finger][note.string];
        int& fret = held.at(static_cast<std::size_t>(note.string));
        if (note.fret > 0 && note.fret != fret)
          cost += 8 + 3 * std::max(0, note.fret - 4) + 8 * std::max(0, note.fret - 7);
        fret = note.fret;
      }
    }
    return cost;
  }

  const Unit& unit_;
  Neckwork& neck_;
  const Neckwork::Stand* stand_ = nullptr;
  std::array<int, most_slots> wanted_at_{};
  std::vector<Candidate> made_;
};

}  // namespace

Strings picking_fingers(const Strings& strings, int count, int not_first) {
  std::array<std::array<int, 3>, most_slots> from{};
  std::array<int, 3> costs{};
  int last = -1;
  for (int s = 0; s < count; ++s) {
    const auto at = static_cast<std::size_t>(s);
    if (strings[at] == 0) continue;
    std::array<int, 3> next{};
    for (std::size_t f = 0; f < 3; ++f) {
      int best = INT32_MAX;
      for (std::size_t b = 0; b < 3; ++b) {
        const bool next_to = last >= 0 && last == s - 1;
        const int cost = costs[b] + (next_to && b == f ? same_finger : 0) +
                         (next_to ? crossing(static_cast<int>(b), strings[static_cast<std::size_t>(last)],
                                             static_cast<int>(f), strings[at])
                                  : 0);
        if (cost < best) {
          best = cost;
          from[at][f] = static_cast<int>(b);
        }
      }
      next[f] = best + finger_costs[f][strings[at]];
      if (s == 0 && static_cast<int>(f) == not_first) next[f] += same_finger;
    }
    costs = next;
    last = s;
  }
  Strings fingers{};
  auto finger = static_cast<std::size_t>(std::min_element(costs.begin(), costs.end()) - costs.begin());
  for (int s = count - 1; s >= 0; --s) {
    const auto at = static_cast<std::size_t>(s);
    if (strings[at] == 0) continue;
    fingers[at] = static_cast<std::int8_t>(finger);
    finger = static_cast<std::size_t>(from[at][finger]);
  }
  return fingers;
}

std::vector<Candidate> roll_candidates(const Unit& unit, Neckwork& neck) {
  return Builder(unit, neck).run();
}

}  // namespace fifthpeg::arranging
