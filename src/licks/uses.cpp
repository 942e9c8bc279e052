// What a lick is for. Each rule is a row that reads as a sentence, the likeliest use first. Common practice
// of three-finger and clawhammer players, from memory; the figures are this program's.
#include "licks/uses.hpp"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <optional>
#include <string_view>

#include "base/text.hpp"

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
constexpr int widest_step = 2;  // half steps
constexpr int first_frets = 5;
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
  bool is_short() const { return facts_.beats <= longest_fill_beats; }
  bool fills_measures() const { return facts_.beats >= shortest_turnaround_beats; }

  bool ends_on_tonic_note() const {
    const int root = Pitch{tonic_.root.step, tonic_.root.alter, 4}.midi();
    return pitch_class(line_.notes.back().midi - root) == 0;
  }
  bool comes_to_rest() const { return line_.notes.back().beats >= 1 || line_.lands; }
  bool rests_long() const { return line_.notes.back().beats >= long_rest_beats; }

  // Nothing but what is before a barline, and what it lands on.
  bool is_before_barline() const {
    return line_.first_barline >= line_.end && (line_.lands || line_.first_is_short) &&
           (line_.first_is_short || !starts_measure());
  }
  bool steps_along() const { return steps(false) || steps(true); }
  bool goes_up_the_neck() const {
    const auto stopped = [](const LineNote& note) { return note.fret > 0 && note.string != fifth_string; };
    const auto first = std::find_if(line_.notes.begin(), line_.notes.end(), stopped);
    const auto last = std::find_if(line_.notes.rbegin(), line_.notes.rend(), stopped);
    return first != line_.notes.end() && first->fret <= first_frets && last->fret >= up_the_neck_from;
  }

 private:
  bool starts_measure() const { return line_.start == 0; }

  // Most moves are steps in one direction; of all notes but the drone, or of those on beats.
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
    {LickUse::walk_up, "it goes from one chord to another by steps, most of them in one direction",
     [](const Asked& lick) { return lick.moves() && lick.steps_along(); }},
    {LickUse::low_to_high, "it begins in the first five frets and ends at the seventh or above",
     [](const Asked& lick) { return lick.goes_up_the_neck(); }},
    {LickUse::ending, "it ends on the tonic with a note that is held",
     [](const Asked& lick) {
       return lick.leads_to_tonic() && lick.ends_on_tonic_note() && lick.rests_long();
     }},
    {LickUse::turnaround, "it leads from the tonic to the dominant, from where a part begins again",
     [](const Asked& lick) {
       return lick.starts_on_tonic() && lick.leads_to_dominant() && lick.fills_measures();
     }},
    {LickUse::turnaround, "it goes from the tonic over the dominant back to the tonic",
     [](const Asked& lick) {
       return lick.starts_on_tonic() && lick.passes_dominant() && lick.leads_to_tonic() &&
              lick.fills_measures();
     }},
    {LickUse::segue, "it leads from one chord to another", [](const Asked& lick) { return lick.moves(); }},
    {LickUse::fill_in, "it stays over one chord, and is short enough for where a melody rests",
     [](const Asked& lick) { return lick.stays() && lick.is_short(); }},
    {LickUse::tag, "it stays on the tonic and ends on its root",
     [](const Asked& lick) {
       return lick.stays() && lick.starts_on_tonic() && lick.ends_on_tonic_note() && lick.is_short();
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
