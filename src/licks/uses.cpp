// What a lick is for. Each rule is a row that reads as a sentence, the likeliest use first. Common practice
// of three-finger and clawhammer players, from memory; the figures are this program's.
#include "licks/uses.hpp"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <optional>
#include <string_view>

#include "base/text.hpp"
#include "score/chord_tones.hpp"

namespace fifthpeg {
namespace {

// By LickUse.
constexpr std::array<std::string_view, lick_uses> use_slugs{"fill-in", "walk-up", "segue",    "turnaround",
                                                            "tag",     "ending",  "kick-off", "low-to-high"};

}  // namespace

std::string_view slug(LickUse use) {
  return use_slugs.at(static_cast<std::size_t>(use));
}

std::optional<LickUse> parse_lick_use(std::string_view name) {
  for (std::size_t i = 0; i < use_slugs.size(); ++i) {
    if (base::same_name(use_slugs[i], name)) return static_cast<LickUse>(i);
  }
  return std::nullopt;
}

namespace licks {
namespace {

// A phrase's rest is two measures of four beats at most.
constexpr std::int64_t longest_fill_beats = 8;
constexpr std::int64_t shortest_turnaround_beats = 4;
constexpr std::int64_t long_rest_beats = 2;
// Three steps, as from G to C in the scale.
constexpr std::size_t fewest_steps = 3;
constexpr int widest_step = 2;   // half steps
constexpr int widest_voice = 7;  // what is further away, as the drone, is no part of a walk
constexpr int first_frets = 4;
constexpr int up_the_neck_from = 7;

// A lick as the rules ask about it.
class Asked {
 public:
  Asked(const LickFacts& facts, const LickLine& line)
      : facts_(facts), line_(line), tonic_(tonic_of(facts.key)), dominant_(dominant_of(facts.key)) {}

  bool stays() const {
    return std::all_of(line_.chords.begin(), line_.chords.end(),
                       [&](const OverLick& one) { return same_triad(one.chord, facts_.from); });
  }
  bool moves() const { return !same_triad(facts_.from, facts_.to); }
  bool starts_on_tonic() const { return same_triad(facts_.from, tonic_); }
  bool leads_to_tonic() const { return same_triad(facts_.to, tonic_); }
  bool leads_to_dominant() const { return same_triad(facts_.to, dominant_); }
  bool passes_dominant() const {
    return std::any_of(line_.chords.begin(), line_.chords.end(),
                       [&](const OverLick& one) { return same_triad(one.chord, dominant_); });
  }
  // In minor keys the chord a whole tone below the tonic does the same.
  bool passes_dominant_or_subtonic() const {
    return passes_dominant() ||
           (is_minor(facts_.key.mode) &&
            std::any_of(line_.chords.begin(), line_.chords.end(),
                        [&](const OverLick& one) { return same_triad(one.chord, subtonic_of(facts_.key)); }));
  }
  bool is_short() const { return facts_.beats <= longest_fill_beats; }
  bool is_of_a_measure() const { return facts_.beats <= shortest_turnaround_beats; }
  bool fills_measures() const { return facts_.beats >= shortest_turnaround_beats; }

  bool ends_on_tonic_note() const {
    const int root = Pitch{tonic_.root.step, tonic_.root.alter, 4}.midi();
    return (line_.notes.back().tones & ChordTones::bit(root)) != 0;
  }
  bool comes_to_rest() const { return line_.notes.back().beats >= 1 || line_.lands; }
  // With a note that is held, and it leads to no other.
  bool stops() const { return line_.notes.back().beats >= 1 && !line_.lands; }
  // Before the note that it lands on: a pinch that is held.
  bool stops_with_pinch() const {
    if (!line_.lands || line_.notes.size() < 2) return false;
    const LineNote& pinch = line_.notes[line_.notes.size() - 2];
    return !pinch.single && pinch.beats >= 1;
  }
  bool rests_long() const { return line_.notes.back().beats >= long_rest_beats && !line_.lands; }

  // Nothing but what is before a barline, and what it lands on.
  bool is_before_barline() const {
    return line_.first_barline >= line_.end && (line_.lands || line_.first_is_short) &&
           (line_.first_is_short || !starts_measure());
  }
  bool has_pickup() const { return line_.first_is_short; }
  bool lands() const { return line_.lands; }

  // Most moves are steps in one direction: of the notes on beats, as a bass walks; of all but the drone.
  bool walks() const { return steps(true); }
  bool runs() const { return steps(false); }
  // The last two, on beats, lead to the root of the chord that it lands on.
  bool walks_to_root() const { return approaches_root(widest_step); }
  // C, C sharp, D: notes that are there for nothing else.
  bool walks_to_root_by_half_steps() const { return approaches_root(1); }
  bool goes_up_the_neck() const {
    const auto stopped = [](const LineNote& note) { return note.fret > 0 && note.string != fifth_string; };
    const auto first = std::find_if(line_.notes.begin(), line_.notes.end(), stopped);
    const auto last = std::find_if(line_.notes.rbegin(), line_.notes.rend(), stopped);
    return first != line_.notes.end() && first->fret <= first_frets && last->fret >= up_the_neck_from;
  }

 private:
  bool starts_measure() const { return line_.start == 0; }

  // From the same side, whatever other voices do.
  bool approaches_root(int widest) const {
    const int root = Pitch{facts_.to.root.step, facts_.to.root.alter, 4}.midi();
    if (!line_.lands || pitch_class(line_.notes.back().midi - root) != 0) return false;
    std::array<int, 3> last{};  // the latest first
    std::size_t count = 0;
    for (auto note = line_.notes.rbegin(); note != line_.notes.rend() && count < last.size(); ++note) {
      if (note->on_beat && std::abs(note->midi - line_.notes.back().midi) <= widest_voice)
        last.at(count++) = note->midi;
    }
    if (count < last.size()) return false;
    const int to_last = last[0] - last[1];
    const int before = last[1] - last[2];
    return to_last != 0 && std::abs(to_last) <= widest && before != 0 && std::abs(before) <= widest &&
           (to_last > 0) == (before > 0);
  }

  bool steps(bool on_beats) const {
    std::size_t up = 0;
    std::size_t down = 0;
    std::size_t moves = 0;
    const LineNote* before = nullptr;
    for (const LineNote& note : line_.notes) {
      if (note.string == fifth_string || (on_beats && !note.on_beat)) continue;
      if (before != nullptr) {
        const int move = note.midi - before->midi;
        ++moves;
        if (move > 0 && move <= widest_step) ++up;
        if (move < 0 && move >= -widest_step) ++down;
      }
      before = &note;
    }
    const std::size_t most = std::max(up, down);
    return most >= fewest_steps && 3 * most >= 2 * moves;
  }

  const LickFacts& facts_;
  const LickLine& line_;
  ChordSymbol tonic_;
  ChordSymbol dominant_;
};

struct UseRule {
  LickUse use;
  std::string_view because;
  bool (*holds)(const Asked& lick);
};

constexpr UseRule use_rules[] = {
    {LickUse::kick_off, "it is over before the barline, and leads into the measure after it",
     [](const Asked& lick) { return lick.is_before_barline() && lick.is_short(); }},
    {LickUse::low_to_high, "it begins in the first four frets and ends at the seventh or above",
     [](const Asked& lick) { return lick.goes_up_the_neck(); }},
    {LickUse::walk_up, "it walks from one chord to another: most beats bring a step in one direction",
     [](const Asked& lick) { return lick.moves() && lick.walks(); }},
    {LickUse::walk_up, "its last beats lead by half steps to the root of another chord",
     [](const Asked& lick) { return lick.moves() && lick.walks_to_root_by_half_steps(); }},
    {LickUse::ending, "it ends on the tonic with a note that is held",
     [](const Asked& lick) {
       return lick.leads_to_tonic() && lick.ends_on_tonic_note() && lick.rests_long();
     }},
    {LickUse::tag, "in a measure it goes from the tonic over the dominant home to its root",
     [](const Asked& lick) {
       return lick.starts_on_tonic() && lick.passes_dominant() && lick.leads_to_tonic() &&
              lick.ends_on_tonic_note() && lick.is_of_a_measure();
     }},
    {LickUse::turnaround, "it leads from the tonic to the dominant, from where a part begins again",
     [](const Asked& lick) {
       return lick.starts_on_tonic() && lick.leads_to_dominant() && !lick.is_of_a_measure();
     }},
    {LickUse::turnaround, "it goes from the tonic over the dominant back to the tonic",
     [](const Asked& lick) {
       return lick.starts_on_tonic() && lick.passes_dominant_or_subtonic() && lick.leads_to_tonic() &&
              lick.fills_measures();
     }},
    {LickUse::segue, "it leads from one chord to another", [](const Asked& lick) { return lick.moves(); }},
    {LickUse::walk_up, "it goes from one chord to another by steps, most of them in one direction",
     [](const Asked& lick) { return lick.moves() && lick.runs(); }},
    {LickUse::walk_up, "its last beats lead by steps to the root of another chord",
     [](const Asked& lick) { return lick.moves() && lick.walks_to_root(); }},
    {LickUse::kick_off, "it begins before the barline, and leads to the tonic that it lands on",
     [](const Asked& lick) {
       return lick.has_pickup() && lick.lands() && lick.moves() && lick.leads_to_tonic() && lick.is_short();
     }},
    {LickUse::tag, "it stays on the tonic, and comes to a stop on its root",
     [](const Asked& lick) {
       return lick.stays() && lick.starts_on_tonic() && lick.ends_on_tonic_note() && lick.is_short() &&
              (lick.stops() || lick.stops_with_pinch());
     }},
    {LickUse::fill_in, "it stays over one chord, and is short enough for where a melody rests",
     [](const Asked& lick) { return lick.stays() && lick.is_short(); }},
    {LickUse::tag, "it stays on the tonic and ends on its root",
     [](const Asked& lick) {
       return lick.stays() && lick.starts_on_tonic() && lick.ends_on_tonic_note() && lick.is_short();
     }},
    {LickUse::tag,
     "it goes from the tonic back to it and ends on its root, with nothing after it or in a measure",
     [](const Asked& lick) {
       return lick.starts_on_tonic() && lick.leads_to_tonic() && lick.ends_on_tonic_note() &&
              lick.is_short() && (lick.stops() || lick.is_of_a_measure());
     }},
    {LickUse::ending, "it comes to rest on the tonic",
     [](const Asked& lick) {
       return lick.leads_to_tonic() && lick.ends_on_tonic_note() && lick.comes_to_rest();
     }},
};

}  // namespace

std::vector<UseFound> uses_of(const LickFacts& facts, const LickLine& line) {
  const Asked lick(facts, line);
  std::vector<UseFound> uses;
  for (const UseRule& rule : use_rules) {
    const bool is_new =
        std::none_of(uses.begin(), uses.end(), [&](const UseFound& found) { return found.use == rule.use; });
    if (is_new && rule.holds(lick)) uses.push_back({rule.use, std::string(rule.because)});
  }
  if (uses.empty()) uses.push_back({LickUse::fill_in, "it ends over the chord that it begins over"});
  return uses;
}

}  // namespace licks
}  // namespace fifthpeg
