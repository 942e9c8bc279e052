// What a lick does.
#include <algorithm>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/harmony.hpp"
#include "fifthpeg/licks.hpp"
#include "hands/source_fingering.hpp"
#include "licks/line.hpp"
#include "licks/require_lick.hpp"
#include "licks/rolls.hpp"
#include "licks/style_of.hpp"
#include "licks/uses.hpp"

namespace fifthpeg {
namespace {

// What is missing is found; the style is that of the picking fingers, or the one that costs the hands least.
// The latter is returned, where not all picking fingers are there.
std::optional<Style> complete(Score& lick) {
  const hands::Given given = hands::given_by(lick);
  if (given.all()) return std::nullopt;
  HandsOptions options = hands::to_complete(lick);
  const bool is_free = !given.all_picking_fingers && options.style != Style::clawhammer;
  if (is_free) options.style = Style::automatic;
  const Style style = finger(lick, options).style;
  return is_free ? std::optional(style) : std::nullopt;
}

// How many notes lie outside of the scale of a signature: of seven neighbors on the circle of fifths.
std::size_t notes_outside(const Score& lick, int fifths) {
  constexpr int scale_notes = 7;
  std::size_t outside = 0;
  for (const Measure& measure : lick.measures) {
    for (const Stroke& stroke : measure.strokes) {
      outside += static_cast<std::size_t>(
          std::count_if(stroke.notes.begin(), stroke.notes.end(), [fifths](const Note& note) {
            return pitch_class(7 * note.pitch.midi() - (fifths - 1)) >= scale_notes;
          }));
    }
  }
  return outside;
}

// More than a third of the notes are not of its scale, and fewer are none of the key found. A blue note here
// and there says nothing against a key.
bool is_contradicted(const Key& signature, const Key& found, const Score& lick) {
  std::size_t all = 0;
  for (const Measure& measure : lick.measures) {
    for (const Stroke& stroke : measure.strokes) all += stroke.notes.size();
  }
  const std::size_t outside = notes_outside(lick, signature.fifths);
  return 3 * outside > all && notes_outside(lick, found.fifths) < outside;
}

// Licks are too short for find_key() to tell where they lead from where they stand. One that begins over the
// tonic of its signature stands in that, and so do others where somebody set one, unless their notes
// contradict it: without, files say C major. Of a signature's two keys the notes say which.
Key key_of_lick(const Score& lick, const ChordSymbol& from) {
  const Key found = find_key(lick);
  Key signature = lick.measures.front().key;
  if (lick.key_estimated) return found;
  if (signature.mode == Mode::none) signature.mode = Mode::major;
  if (licks::same_triad(from, licks::tonic_of(signature))) return signature;
  if (found.fifths == signature.fifths)
    return is_minor(found.mode) && found.mode != Mode::dorian ? found : signature;
  return signature.fifths != 0 && !is_contradicted(signature, found, lick) ? signature : found;
}

// Those on which strings are stopped: over one that a chime is touched at, no finger presses.
std::optional<FretSpan> frets_of(const Score& lick) {
  std::optional<FretSpan> frets;
  for (const Measure& measure : lick.measures) {
    for (const Stroke& stroke : measure.strokes) {
      for (const Note& note : stroke.notes) {
        const int fret = note.placement && !note.harmonic ? note.placement->fret : 0;
        if (fret == 0) continue;
        if (!frets) frets = FretSpan{fret, fret};
        frets->lowest = std::min(frets->lowest, fret);
        frets->highest = std::max(frets->highest, fret);
      }
    }
  }
  return frets;
}

void add_places(const Score& lick, LickFacts& facts) {
  const Summary summary = summarize(lick);
  facts.frets = frets_of(lick);
  for (int string = 1; string <= string_count; ++string) {
    if (summary.on_string.at(static_cast<std::size_t>(string - 1)) > 0) facts.strings.push_back(string);
  }
  facts.techniques.reserve(summary.techniques.size());
  for (const Counted& one : summary.techniques) facts.techniques.push_back(one.first);
  for (const HeldShape& shape : held_shapes(lick)) {
    if (std::find(facts.shapes.begin(), facts.shapes.end(), shape.text) == facts.shapes.end())
      facts.shapes.push_back(shape.text);
  }
}

}  // namespace

LickFacts lick_facts(const Score& source) {
  licks::require_lick(source);
  Score lick = source;
  LickFacts facts;
  const std::optional<Style> found = complete(lick);
  facts.capo = lick.banjo.capo;
  const licks::LickLine line = licks::line_of(lick);
  facts.style = found ? *found : licks::style_of(line);
  facts.chords_inferred = line.chords_inferred;
  facts.from = line.chord_at(line.start);
  facts.key = key_of_lick(lick, facts.from);
  facts.to = line.chords_inferred ? line.chord_at(line.notes.back().at) : line.chords.back().chord;
  if (line.lands) facts.to = line.chord_at(line.notes.back().at);
  facts.beats = line.end - line.start;
  if (line.first_is_short) facts.pickup = std::max(Fraction(), line.first_barline - line.start);
  facts.lands = line.lands;
  add_places(lick, facts);
  // Lines have other orders of fingers, which look like rolls for a beat or two.
  if (facts.style == Style::roll) facts.rolls = licks::rolls_of(lick);
  facts.uses = licks::uses_of(facts, line);
  facts.difficulty = difficulty(lick);
  return facts;
}

}  // namespace fifthpeg
