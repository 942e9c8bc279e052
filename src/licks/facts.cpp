// What a lick does.
#include <algorithm>
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
#include "licks/uses.hpp"

namespace fifthpeg {
namespace {

// What is missing is found; the style is that of the picking fingers, or the one that costs the hands least.
Style complete(Score& lick) {
  HandsOptions options = hands::to_complete(lick);
  if (options.style == Style::clawhammer) {
    if (!hands::given_by(lick).all()) finger(lick, options);
    return Style::clawhammer;
  }
  options.style = Style::automatic;
  return finger(lick, options).style;
}

// Licks are too short for find_key() to tell where they lead from where they stand: one that begins over the
// tonic of its signature stands in that.
Key key_of_lick(const Score& lick, const ChordSymbol& from) {
  const Key& signature = lick.measures.front().key;
  if (!lick.key_estimated && licks::same_triad(from, licks::tonic_of(signature))) return signature;
  return find_key(lick);
}

void add_places(const Score& lick, LickFacts& facts) {
  const Summary summary = summarize(lick);
  facts.frets = summary.frets;
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
  facts.style = complete(lick);
  facts.capo = lick.banjo.capo;
  const licks::LickLine line = licks::line_of(lick);
  facts.chords_inferred = line.chords_inferred;
  facts.from = line.chord_at(line.start);
  facts.key = key_of_lick(lick, facts.from);
  facts.to = line.chords_inferred ? line.chord_at(line.notes.back().at) : line.chords.back().chord;
  if (line.lands) facts.to = line.chord_at(line.notes.back().at);
  facts.beats = line.end - line.start;
  if (line.first_is_short) facts.pickup = std::max(Fraction(), line.first_barline - line.start);
  facts.lands = line.lands;
  add_places(lick, facts);
  facts.rolls = licks::rolls_of(lick);
  facts.uses = licks::uses_of(facts, line);
  facts.difficulty = difficulty(lick);
  return facts;
}

}  // namespace fifthpeg
