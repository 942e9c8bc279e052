// Harmony: the key that music stands in, and chords for a melody that has none: what a player would put to a
// folk tune. Weights, each with its reason: src/harmony/weights.hpp.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg {

// The key of `count` measures from `first` on, by default of all: from the note that they end on, what sounds
// longest and what begins measures, more than from the signature at `first`, which often names another key
// with the same accidentals, or a nearby one. A mode that nobody writes by accident, such as dorian, is
// believed. Without notes, what the signature says.
Key find_key(const Score& score, std::size_t first = 0, std::size_t count = SIZE_MAX);

// How many half steps music moves from one key to another, by the smaller interval: -5 to 6. Keys without a
// mode are major or minor as the other is; UnplayableError "key-of-other-mode" where one has a major third
// and the other a minor one.
int half_steps_between(const Key& from, const Key& to);

struct KeyMove {
  int half_steps = 0;
  Report report;
};
// Moves music to a key by the smaller interval: from `source`, or from what find_key() finds. Where the
// strings are raised by as many half steps (`raised`; 0: they are not) it stays, for its tab moves with them;
// set_up() does that. Reported as "key-as-wanted", "moved-to-key" or, where the key was found,
// "moved-from-found-key". Throws as half_steps_between() does.
KeyMove move_to_key(Score& score, const Key& wanted, const std::optional<Key>& source = {}, int raised = 0);

// The chord over half a measure, or over what else of a measure usually has one chord: all of 3/4, each
// dotted beat of 6/8 and 9/8, each beat of 2/4, 3+2 beats of 5/4. Shorter where the measure is.
struct InferredChord {
  std::size_t measure = 0;  // index into Score::measures
  Fraction at;              // from the start of the measure
  Fraction length;
  ChordSymbol chord;   // `at` as above
  ChordSymbol second;  // what it would be if not that: another root, or the other third
  double sure = 0;     // 0 to 1: how likely the first is, as the weights see it
};

// The likeliest chords for the notes, in their order; empty where there are none. Between two signatures the
// music ends on its tonic. A pickup has no chord. Given chord symbols play no part.
std::vector<InferredChord> infer_chords(const Score& score);

// Writes inferred chords into a score, where they change, if it has no chord symbols at all. What was done
// is reported: "chords-inferred", "chords-kept", or "no-notes-for-chords".
Report add_inferred_chords(Score& score);

}  // namespace fifthpeg
