// Arranging: from a melody to banjo music. Where finger() plays the notes that a score has, arrange() decides
// which notes a player would play for them: the melody where it belongs, and between its notes those of the
// chord, the drone, and licks where the melody rests. Every note says what it is for (Note::role).
//
// An arrangement is a cheapest path: through cells of the picking hand and what the fret hand holds, under
// the cost table of the hands (src/hands/costs.hpp) and that of the music (src/arrange/weights.hpp). Equal
// music is arranged equally, and the same at any tempo. Threads: as in fifthpeg.hpp.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "fifthpeg/hands.hpp"
#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg {

inline constexpr int lowest_level = 1;
inline constexpr int highest_level = 4;
inline constexpr int most_variations = 8;
inline constexpr int highest_seed = 999999;

// A lick in tab, for where the melody rests.
struct OwnLick {
  std::string name;  // of its file, for what is told of it
  Score score;
};

struct ArrangeOptions {
  // roll, melodic, single_string or clawhammer.
  Style style = Style::roll;
  // What is kept of the melody, and what is asked of the hands: 1 the notes on beats, in the first frets, one
  // pattern a phrase; 2 also long and syncopated ones, with slides and hammer-ons; 3 all eighths; 4
  // anticipations where they are, and the whole neck.
  int level = 2;
  // The key that is to sound; not set: the melody's own.
  std::optional<Key> key;
  // In which key the melody stands; not set: found.
  std::optional<Key> source_key;
  // Whether the score's tuning and capo are asked for; otherwise those are taken that suit the melody.
  bool keep_tuning = false;
  bool keep_capo = false;
  // Whether chords are found in the melody even where the score has chord symbols.
  bool infer_chords = false;
  // A second part, for while another instrument has the tune: Arrangement::backup. At levels 1 and 2 rolls in
  // first position, from level 3 on a vamp up the neck: bass notes, and pinches that are stopped short.
  bool backup = false;
  // Two or three notes that lead into a tune without a pickup, and a closing tag after its last note.
  bool kick_off = false;
  bool ending = false;
  // So many breaks one after the other, 1 to most_variations: the same melody, played by other cells; from
  // level 3 on the second one up the neck.
  int variations = 1;
  // Other seeds, other choices among what costs about the same; equal ones are equal everywhere.
  int seed = 0;
  // Licks of the player's own, in rolls; UsageError "licks-of-rolls" in other styles. One begins with the
  // last note of a phrase or after it, over the chords that it is written over, in its shapes with any capo.
  // Where its last measure is one note on the first beat, it lands there: the melody goes on with that note.
  // What is of no use is told.
  std::vector<OwnLick> licks;
  bool explain = false;  // fill Arrangement::reasons
};

// Why a stroke is there.
struct Reason {
  std::size_t measure = 0;  // index into Score::measures
  std::size_t stroke = 0;   // index into Measure::strokes
  std::string text;         // "melody, the end of a phrase"; "fill, the third of C"
};

// A note of the melody that was arranged.
struct MelodyNote {
  Fraction at;      // from the start of the score, repeats not carried out; where it is played
  Fraction length;  // as the melody holds it
  int midi = 0;     // where the arrangement has it
  bool on_beat = false;
  bool ends_phrase = false;
  bool asked = false;  // by the level
  bool kept = false;   // and played
};

struct Arrangement {
  Score score;
  std::optional<Score> backup;  // if asked for: of the same measures and chords, for the same banjo
  std::vector<MelodyNote> melody;
  Report report;
  std::vector<Reason> reasons;  // if asked for: one for each stroke with notes, in order
};

// Arranges the melody of a score for its banjo: its notes with that role, or, where it says nothing of roles,
// the highest ones. What its notes say of strings and fingers plays no part. Chord symbols are taken from the
// score; where it has none, they are found and written into the result. Throws UnplayableError: "no-melody"
// where there is no note to arrange, "melody-out-of-range" where the banjo has no octave for it; and
// UsageError for options that cannot be.
Arrangement arrange(const Score& source, const ArrangeOptions& options = {});

}  // namespace fifthpeg
