#include "hands/octave.hpp"

#include <algorithm>
#include <array>

#include "banjo/range.hpp"
#include "base/text.hpp"
#include "hands/costs.hpp"
#include "score/interval.hpp"

namespace fifthpeg::hands {
namespace {

// At most so many notes of a hundred may fold, and an octave is much easier where it costs less than so many
// hundredths. From memory.
constexpr std::uint64_t few_percent = 3;
constexpr std::int64_t much_easier_percent = 75;

// How many notes that hold a piece back are named.
constexpr std::size_t named_at_most = 3;

// How many strings have to be retuned.
int retuned_strings(const Tuning& from, const Tuning& to) {
  int strings = 0;
  for (int string = 1; string <= string_count; ++string) {
    strings += from.open(string).midi() != to.open(string).midi() ? 1 : 0;
  }
  return strings;
}

// The tuning nearest to the score's that has every note of a moved piece.
const NamedTuning* tuning_that_has(const Score& score, int half_steps) {
  const NoteKinds kinds(score);
  const NamedTuning* best = nullptr;
  int fewest = string_count + 1;
  for (const NamedTuning& tuning : named_tunings()) {
    Banjo banjo = score.banjo;
    banjo.tuning = tuning.tuning;
    const int retuned = retuned_strings(score.banjo.tuning, tuning.tuning);
    if (retuned >= fewest || kinds.outside(banjo, half_steps) != 0) continue;
    best = &tuning;
    fewest = retuned;
  }
  return best;
}

// A histogram of pitches by MIDI number, and what they cost one by one when moved; what has no place costs
// nothing.
using PitchCounts = std::array<std::uint64_t, 128>;
std::int64_t cost_one_by_one(const Banjo& banjo, const PitchCounts& counts, int half_steps) {
  constexpr CostTable costs;
  std::int64_t sum = 0;
  for (int midi = 0; midi < 128; ++midi) {
    const std::uint64_t count = counts[static_cast<std::size_t>(midi)];
    if (count == 0) continue;
    std::int64_t cheapest = -1;
    for (int string = 1; string <= string_count; ++string) {
      const auto fret = fret_for(banjo, string, StringSound{midi + half_steps});
      if (!fret) continue;
      const int stopped = costs.place + costs.high_up(*fret, false) + costs.high_by_itself(*fret) +
                          (string == fifth_string ? costs.fretted_drone : 0);
      const std::int64_t units = *fret == 0 ? 0 : stopped;
      if (cheapest < 0 || units < cheapest) cheapest = units;
    }
    sum += static_cast<std::int64_t>(count) * std::max<std::int64_t>(0, cheapest);
  }
  return sum;
}

// How far a note folds, in half steps; 0 where no octave has a place for it.
int fold_by(const Banjo& banjo, const Note& note, int half_steps) {
  for (const int octaves : {12, -12, 24, -24}) {
    if (has_place(banjo, string_sound(note, half_steps + octaves))) return octaves;
  }
  return 0;
}

}  // namespace

Octaves::Octaves(const Score& score, const std::vector<Event>& line) {
  const NoteKinds kinds(score);
  PitchCounts counts{};
  for (const Event& at : line) {
    for (const Note& note : stroke_at(score, at).notes) {
      ++notes_;
      if (!note.dead) ++counts[static_cast<std::size_t>(std::clamp(note.pitch.midi(), 0, 127))];
    }
  }
  for (int size = 0; size <= farthest_move; size += 12) {
    for (const int half_steps : {size, -size}) {
      if (size == 0 && !all_.empty()) continue;
      all_.push_back({half_steps, kinds.outside(score.banjo, half_steps),
                      cost_one_by_one(score.banjo, counts, half_steps)});
    }
  }
}

bool Octaves::almost_fits(const Octave& octave) const {
  return octave.outside * 100 <= few_percent * notes_;
}

std::vector<Octave> Octaves::worth_a_search(bool fold, bool easier_only) const {
  std::vector<Octave> found;
  for (const Octave& octave : all_) {
    if (octave.outside == 0 || (fold && almost_fits(octave))) found.push_back(octave);
  }
  if (!easier_only || found.empty()) return found;
  const Octave easiest = *std::min_element(
      found.begin(), found.end(), [](const Octave& a, const Octave& b) { return a.estimate < b.estimate; });
  const Octave nearest = found.front();
  if (easiest.estimate >= nearest.estimate) return {nearest};
  std::erase_if(found, [&](const Octave& octave) {
    return octave.half_steps != nearest.half_steps && far_easier(easiest, octave);
  });
  if (far_easier(easiest, nearest)) {
    std::stable_sort(found.begin(), found.end(),
                     [](const Octave& a, const Octave& b) { return a.estimate < b.estimate; });
  }
  return found;
}

const Octave* Octaves::held_back(const Octave& chosen) const {
  const Octave* best = nullptr;
  for (const Octave& octave : all_) {
    if (octave.outside == 0 || !almost_fits(octave)) continue;
    if (octave.estimate * 100 >= chosen.estimate * much_easier_percent) continue;
    if (best == nullptr || octave.estimate < best->estimate) best = &octave;
  }
  return best;
}

std::string moved_by_octaves(int half_steps) {
  return "the piece is moved " + std::string(half_steps > 0 ? "up " : "down ") + interval_text(half_steps);
}

std::string what_holds_back(const Score& score, const std::vector<Event>& line, const Octave& chosen,
                            const Octave& easier) {
  std::vector<std::string> named;
  for (const Event& at : line) {
    for (const Note& note : stroke_at(score, at).notes) {
      if (has_place(score.banjo, string_sound(note, easier.half_steps))) continue;
      if (named.size() == named_at_most) continue;
      named.push_back(to_string(note.pitch) + " in measure " + score.measures[at.measure].number);
      if (named.size() > 1 && named.back() == named[named.size() - 2]) named.pop_back();
    }
  }
  std::string text;
  for (std::size_t i = 0; i < named.size(); ++i) {
    text += (i == 0 ? "" : i + 1 == named.size() ? " and " : ", ") + named[i];
  }
  if (easier.outside > named.size()) text = base::counted(easier.outside, "note") + ", such as " + text + ",";
  const bool one = easier.outside == 1;
  const int apart = chosen.half_steps - easier.half_steps;
  text += std::string(one ? " keeps" : " keep") + " the piece " + interval_text(apart) +
          (apart > 0 ? " higher" : " lower") + " than it plays most easily";
  if (const NamedTuning* const tuning = tuning_that_has(score, easier.half_steps)) {
    text += "; " + std::string(tuning->name) + " tuning has " + (one ? "it" : "them");
  }
  return text;
}

void fold(Score& score, int half_steps, Report& report) {
  for (Measure& measure : score.measures) {
    for (Stroke& stroke : measure.strokes) {
      for (Note& note : stroke.notes) {
        if (has_place(score.banjo, string_sound(note, half_steps))) continue;
        const int octaves = fold_by(score.banjo, note, half_steps);
        if (octaves == 0) continue;
        report.add(EntryKind::decision, "note-folded",
                   to_string(note.pitch) + " is played " + interval_text(octaves) +
                       (octaves > 0 ? " higher" : " lower") + " than the rest",
                   {{}, measure.number, beat_at(measure.meter, stroke.onset)});
        note.pitch = moved(note.pitch, Move{octaves, 0});
      }
      std::stable_sort(stroke.notes.begin(), stroke.notes.end(),
                       [](const Note& a, const Note& b) { return a.pitch.midi() > b.pitch.midi(); });
    }
  }
}

}  // namespace fifthpeg::hands
