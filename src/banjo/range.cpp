#include "banjo/range.hpp"

#include <algorithm>
#include <cstdint>
#include <string>

#include "base/text.hpp"
#include "fifthpeg/errors.hpp"
#include "score/interval.hpp"

namespace fifthpeg {
namespace {

template <typename Action>
void for_each_note(const Score& score, const Action& action) {
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      for (const Note& note : stroke.notes) {
        if (!note.dead) action(measure, stroke, note);
      }
    }
  }
}

// The smallest move that brings every note in.
std::optional<int> move_that_fits(const NoteKinds& kinds, const Banjo& banjo) {
  for (int size = 0; size <= farthest_move; ++size) {
    for (const int half_steps : {size, -size}) {
      if (kinds.outside(banjo, half_steps) == 0) return half_steps;
    }
  }
  return std::nullopt;
}

std::string name_of(int midi, const Key& key) {
  return to_string(spell(midi, key));
}

std::string half_steps_text(int count) {
  return base::counted(static_cast<std::uint64_t>(count), "half step");
}

std::string move_text(int half_steps) {
  return (half_steps > 0 ? "up " : "down ") + interval_text(half_steps);
}

// "E4 lies above the last fret, C6, when moved up 2 octaves to E6"
std::string what_is_outside(const Banjo& banjo, const Key& key, const Note& note, int half_steps) {
  const int midi = note.pitch.midi() + half_steps;
  std::string text = to_string(note.pitch);
  if (midi < banjo.lowest()) {
    text += " lies below the lowest string, " + name_of(banjo.lowest(), key);
  } else if (midi > banjo.highest()) {
    text += " lies above the last fret, " + name_of(banjo.highest(), key);
  } else {
    text += " has no place on the banjo as it is set up";
  }
  if (half_steps == 0) return text;
  return text + ", when moved " + move_text(half_steps) + " to " +
         (half_steps % 12 == 0 ? to_string(moved(note.pitch, Move{half_steps, 0})) : name_of(midi, key));
}

// Why `note` cannot be brought in, and what move would: `wrong` says what is outside.
UnplayableError refusal(const Score& score, const NoteKinds& kinds, const Measure& measure,
                        const Stroke& stroke, const Note& note, const std::string& wrong) {
  const Banjo& banjo = score.banjo;
  const Key& key = measure.key;
  const Place place{{}, measure.number, beat_at(measure, stroke.onset)};
  if (const auto move = move_that_fits(kinds, banjo)) {
    return {"note-out-of-range", wrong, place, {note.pitch, *move, {}}};
  }
  const std::optional<Span> span = span_of(score);
  const int has = banjo.highest() - banjo.lowest();
  const std::string banjo_has = "the banjo as it is set up has " + half_steps_text(has) + " (" +
                                name_of(banjo.lowest(), key) + " to " + name_of(banjo.highest(), key) + ")";
  if (span && span->half_steps() > has) {
    return {"notes-span-too-wide",
            wrong + "; the notes span " + half_steps_text(span->half_steps()) + " (" +
                to_string(span->lowest) + " to " + to_string(span->highest) + "), and " + banjo_has,
            place,
            {note.pitch, {}, has}};
  }
  return {
      "no-move-fits", wrong + "; no move brings every note in; " + banjo_has, place, {note.pitch, {}, has}};
}

}  // namespace

NoteKinds::NoteKinds(const Score& score) {
  for_each_note(score, [&](const Measure&, const Stroke&, const Note& note) { ++counts_.at(index(note)); });
}

std::uint64_t NoteKinds::outside(const Banjo& banjo, int half_steps) const {
  std::uint64_t count = 0;
  for (std::size_t i = 0; i < counts_.size(); ++i) {
    if (counts_.at(i) > 0 && !has_place(banjo, sound_of(i, half_steps))) count += counts_.at(i);
  }
  return count;
}

std::size_t NoteKinds::index(const Note& note) {
  const auto pitch = static_cast<std::size_t>(std::clamp(note.pitch.midi(), lowest, highest) - lowest);
  return pitch * 4 + (note.harmonic ? 2U : 0U) + (note.choke ? 1U : 0U);
}

StringSound NoteKinds::sound_of(std::size_t index, int half_steps) {
  return {static_cast<int>(index / 4) + lowest + half_steps, (index & 2U) != 0, false, (index & 1U) != 0};
}

int nearest_octave(const NoteKinds& kinds, const Banjo& banjo) {
  constexpr int farthest = 96;  // across all the octaves that there are
  int best = 0;
  std::uint64_t fewest = UINT64_MAX;
  for (int size = 0; size <= farthest; size += 12) {
    for (const int half_steps : {size, -size}) {
      const std::uint64_t count = kinds.outside(banjo, half_steps);
      if (count >= fewest) continue;
      fewest = count;
      best = half_steps;
    }
  }
  return best;
}

std::optional<Span> span_of(const Score& score) {
  std::optional<Span> span;
  for_each_note(score, [&](const Measure&, const Stroke&, const Note& note) {
    if (!span) span = Span{note.pitch, note.pitch};
    if (note.pitch.midi() < span->lowest.midi()) span->lowest = note.pitch;
    if (note.pitch.midi() > span->highest.midi()) span->highest = note.pitch;
  });
  return span;
}

void require_places(const Score& score, std::optional<int> half_steps) {
  const NoteKinds kinds(score);
  const int tried = half_steps ? *half_steps : nearest_octave(kinds, score.banjo);
  if (kinds.outside(score.banjo, tried) == 0) return;
  for_each_note(score, [&](const Measure& measure, const Stroke& stroke, const Note& note) {
    if (has_place(score.banjo, string_sound(note, tried))) return;
    throw refusal(score, kinds, measure, stroke, note,
                  what_is_outside(score.banjo, measure.key, note, tried));
  });
}

}  // namespace fifthpeg
