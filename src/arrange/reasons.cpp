#include "arrange/reasons.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <string_view>
#include <vector>

#include "arrange/weights.hpp"

namespace fifthpeg::arranging {
namespace {

// "the third of C"; nothing where the chord has no such note.
std::string tone_of_chord(const Unit& unit, int midi) {
  constexpr std::array<std::string_view, 12> names{"root",        "flat second", "second",     "third",
                                                   "third",       "fourth",      "flat fifth", "fifth",
                                                   "sharp fifth", "sixth",       "seventh",    "seventh"};
  if (!unit.harmony.known || !unit.harmony.tones.has(midi)) return {};
  const auto above = static_cast<std::size_t>(unit.harmony.above_root(midi));
  return "the " + std::string(names.at(above)) + " of " + to_string(unit.harmony.symbol);
}

std::string how_reached(const Played& note) {
  switch (note.into) {
    case Technique::hammer_on:
      return ", hammered on";
    case Technique::pull_off:
      return ", pulled off";
    case Technique::slide:
      return ", slid to";
    default:
      return {};
  }
}

std::string reason_of(const Unit& unit, const Played& note, int midi) {
  const std::string tone = tone_of_chord(unit, midi);
  switch (note.role) {
    case Role::melody: {
      const Wanted& wanted = unit.wanted[static_cast<std::size_t>(note.wanted)];
      std::string text = "melody";
      if (wanted.ends_phrase) text += ", the end of a phrase";
      if (wanted.anticipates) text += ", before its beat";
      return text + how_reached(note);
    }
    case Role::drone:
      return tone.empty() ? "drone, which " + to_string(unit.harmony.symbol) + " does not have"
                          : "drone, " + tone;
    case Role::lick:
      return "lick on " + to_string(unit.harmony.symbol) + how_reached(note);
    default:
      return "fill, " + tone + how_reached(note);
  }
}

// As the strokes of a score have their notes.
std::vector<Played> highest_first(const SlotPlay& slot, const Neckwork& neck) {
  std::vector<Played> notes(slot.notes.begin(), slot.notes.begin() + slot.count);
  std::stable_sort(notes.begin(), notes.end(), [&neck](const Played& a, const Played& b) {
    return neck.pitch(a.string, a.fret) > neck.pitch(b.string, b.fret);
  });
  return notes;
}

std::string strings_and_frets(const Candidate& candidate) {
  std::string text;
  for (int s = 0; s < candidate.count; ++s) {
    if (!text.empty()) text += ' ';
    const SlotPlay& slot = candidate.slots[static_cast<std::size_t>(s)];
    if (slot.count == 0) text += '-';
    for (std::size_t n = 0; n < static_cast<std::size_t>(slot.count); ++n) {
      if (n > 0) text += '+';
      text += std::to_string(slot.notes[n].string);
      text += ':';
      text += std::to_string(slot.notes[n].fret);
    }
  }
  return text;
}

// A unit between its neighbors.
std::int64_t cost_between(const std::vector<Unit>& units, const Way& way, std::size_t u,
                          const Candidate& candidate, const hands::Model& model, const Neckwork& neck,
                          Seam seam) {
  const std::size_t first = u > 0 ? u - 1 : u;
  const std::size_t end = std::min(u + 2, units.size());
  const std::vector<Unit> few(units.begin() + static_cast<std::ptrdiff_t>(first),
                              units.begin() + static_cast<std::ptrdiff_t>(end));
  std::vector<Candidate> chosen(way.chosen.begin() + static_cast<std::ptrdiff_t>(first),
                                way.chosen.begin() + static_cast<std::ptrdiff_t>(end));
  chosen[u - first] = candidate;
  return cost_of(few, chosen, model, neck, seam);
}

std::string instead_of(const std::vector<Unit>& units, const Way& way, std::size_t u,
                       const Candidates& candidates, const hands::Model& model, const Neckwork& neck,
                       Seam seam) {
  const Candidate& chosen = way.chosen[u];
  const std::int64_t own = cost_between(units, way, u, chosen, model, neck, seam);
  std::optional<std::int64_t> least;
  std::string text;
  for (const Candidate& other : candidates(units[u])) {
    if (other.slots == chosen.slots) continue;
    const std::int64_t more = cost_between(units, way, u, other, model, neck, seam) - own;
    if (least && more >= *least) continue;
    least = more;
    text = strings_and_frets(other);
  }
  if (!least || *least >= not_done) return {};  // what breaks a lick is nothing instead
  return "; " + text + " instead is harder by " + std::to_string(*least);
}

}  // namespace

std::vector<std::string> reasons_of(const std::vector<Unit>& units, const Way& way,
                                    const Candidates& candidates, const hands::Model& model,
                                    const Neckwork& neck, Seam seam, const std::vector<SlottedLick>& own) {
  std::vector<std::string> reasons;
  for (std::size_t u = 0; u < units.size(); ++u) {
    const Candidate& candidate = way.chosen[u];
    bool first = true;
    for (int s = 0; s < candidate.count; ++s) {
      const SlotPlay& slot = candidate.slots[static_cast<std::size_t>(s)];
      if (slot.count == 0) continue;
      if (slot.from_fret >= 0) {
        const bool melody = slot.notes[0].role == Role::melody;
        reasons.emplace_back(melody ? "leads into the melody note" : "leads into the lick's note");
      }
      std::string text;
      for (const Played& note : highest_first(slot, neck)) {
        if (!text.empty()) text += "; ";
        text += reason_of(units[u], note, neck.pitch(note.string, note.fret));
      }
      if (candidate.piece.lick >= 0)
        text += " (" + own[static_cast<std::size_t>(candidate.piece.lick)].name + ")";
      if (first) text += instead_of(units, way, u, candidates, model, neck, seam);
      first = false;
      reasons.push_back(std::move(text));
    }
  }
  return reasons;
}

}  // namespace fifthpeg::arranging
