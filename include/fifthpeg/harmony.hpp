// Harmony: the key that music stands in, and chords for a melody that has none: what a player would put to a
// folk tune. Weights, each with its reason: src/harmony/weights.hpp.
#pragma once

#include <cstddef>
#include <optional>
#include <string_view>
#include <vector>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg {

// The key of `count` measures from `first` on, by default of all: from the note that they end on, what sounds
// longest and what begins measures, and from the chord symbols, by how long each lasts and which is the last;
// more than from the signature at `first`, which often names another key with the same accidentals, or a
// nearby one. A mode that nobody writes by accident, such as dorian, is
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

// ---- chord charts ----------------------------------------------------------------------------------

// The chords of one measure of a chart.
struct ChartMeasure {
  struct Chord {
    Fraction share;     // of the measure that passes before it, from 0
    ChordSymbol chord;  // whose `at` says nothing
    friend bool operator==(const Chord&, const Chord&) = default;
  };
  std::vector<Chord> chords;  // in order, the first at the measure's start where it is known
  // How many share the measure evenly, and are put on beats; 0: they stand exactly where they are.
  int parts = 0;
  std::optional<Meter> meter = {};  // of the music that it is from
  friend bool operator==(const ChartMeasure&, const ChartMeasure&) = default;
};
using ChordChart = std::vector<ChartMeasure>;

// Reads chords as players write them down: "| G | C D | % | . G |". Barlines and line ends part measures,
// spaces the chords in one; % is the measure before again, . or / goes on with the chord before, N.C. is
// none, and # at the beginning of a word makes the rest of the line a comment. Throws ReadError "bad-chart",
// with line and column.
ChordChart parse_chord_chart(std::string_view text);

// The chords of a score, for others with the same measures.
ChordChart chart_of(const Score& score);

// Puts a chart in the place of a score's own chord symbols. It has an entry for each measure that is counted:
// none for a pickup, one for both halves of a measure that is split. Chords that share a measure begin on
// beats where it has as many, the first the longest, and so do those of music in another meter. Reported:
// "chords-of-chart", and "chart-of-other-meter" where that is so. Throws UsageError
// "chart-of-other-length" where the chart has more or fewer measures; the score is then unchanged.
Report set_chords(Score& score, const ChordChart& chart);

}  // namespace fifthpeg
