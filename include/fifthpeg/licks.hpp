// Licks: what a lick does, which ones answer a question, how alike two are, and where in a tune one can go.
//
// A lick is a short score, of at most longest_lick measures. Everything here is found anew from the notes
// each time; nothing is stored. Threads: as in fifthpeg.hpp.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "fifthpeg/hands.hpp"
#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "fifthpeg/summary.hpp"

namespace fifthpeg {

// Longer ones are tunes, or parts of one.
inline constexpr std::size_t longest_lick = 16;

// ---- what a lick does ----------------------------------------------------------------------------

// What a lick is for. The rule for each, in words and in code: src/licks/uses.cpp.
enum class LickUse : std::int8_t {
  fill_in,     // fills the time in which the melody rests, over one chord
  walk_up,     // steps from one chord to the next, mostly upwards or downwards
  segue,       // leads from one chord to another
  turnaround,  // leads back from the end of a part to its beginning
  tag,         // repeats or rounds off an ending, on the tonic
  ending,      // comes to rest on the tonic, with nothing after it
  kick_off,    // leads into the first measure of a tune
  low_to_high  // carries the hand from the first frets up the neck
};
inline constexpr std::size_t lick_uses = 8;
// "fill-in", "walk-up", "segue", "turnaround", "tag", "ending", "kick-off", "low-to-high".
std::string_view slug(LickUse use);
std::optional<LickUse> parse_lick_use(std::string_view name);

struct UseFound {
  LickUse use = LickUse::fill_in;
  std::string rule;  // why, in words: "it leads from one chord to another"
};

struct LickFacts {
  Key key;  // as it sounds
  // The chord over its first note, and the one that it leads to, as they sound.
  ChordSymbol from;
  ChordSymbol to;
  bool chords_inferred = false;   // it has no chord symbols; they were found in its notes
  Fraction beats;                 // from its first note to the end of its last, in beats of the meter; a note
                                  // that it lands on, on the first beat of a last measure, does not count
  Fraction pickup;                // beats before the first barline; 0 for none
  bool lands = false;             // it ends on such a note
  int capo = 0;                   // that it is written for
  std::optional<FretSpan> frets;  // of stopped notes; as Placement counts them
  std::vector<int> strings;       // that it plays, in rising order
  std::vector<std::string> shapes;      // by name, as held_shapes() has them, each once
  std::vector<std::string> techniques;  // that occur, by the names of Summary::techniques
  std::vector<std::string> rolls;       // by name, where it has them, in order, each once
  Style style = Style::roll;
  std::vector<UseFound> uses;  // the likeliest first; at least one
  Difficulty difficulty;
};

// Throws UsageError "too-long-for-a-lick" where it has more than longest_lick measures or "no-notes" where it
// has none. Places and fingers that are missing are found; UnplayableError where that cannot be.
LickFacts lick_facts(const Score& lick);

// ---- finding licks -------------------------------------------------------------------------------

// What is asked of a lick. What is not set is not asked.
struct LickQuery {
  // Chords as they sound in `key`; without a key, in G, and a lick in any key answers by the same steps. A
  // triad and its seventh chord answer for each other, not quite as well.
  std::optional<ChordSymbol> from;
  std::optional<ChordSymbol> to;
  std::optional<Key> key;
  std::optional<Fraction> beats;        // that it lasts, or less than one shorter
  std::optional<FretRange> frets;       // all stopped notes lie in it
  std::vector<std::string> techniques;  // it has them all
  std::optional<Style> style;
  std::optional<LickUse> use;
  int lowest_level = 1;
  int highest_level = 5;
};

// How a lick answers.
struct LickAnswer {
  int half_steps = 0;                // to be moved by, to stand in the key asked for; 0 where none was
  std::optional<int> capo;           // with which its shapes stand there, if any up to 7
  int rank = 0;                      // the smaller, the better it answers; 0 is exactly what was asked
  std::vector<std::string> reasons;  // what keeps it from that, in words, the weightiest first: "capo 7"
};
std::optional<LickAnswer> answers(const LickFacts& facts, const LickQuery& query);

// How alike two licks are, 0 to 1: 1 is the same lick, in any key and with any capo. How it is counted, and
// why: src/licks/likeness.cpp.
double likeness(const Score& one, const Score& other);

// ---- where a lick goes -----------------------------------------------------------------------------

struct FitOptions {
  Style style = Style::roll;   // in which seams are fingered
  bool in_one_ending = false;  // may go into one of several endings alone
};

// Where a lick can go in a tune.
struct LickPlace {
  std::size_t measure = 0;           // index into Score::measures of the tune
  Fraction at;                       // from the start of that measure, where its first stroke goes
  int half_steps = 0;                // that the lick is moved by
  std::int64_t cost = 0;             // the hands' at both seams, and the music's; the smaller, the better
  std::vector<std::string> reasons;  // in words, the weightiest first
};

// All of them, the best first. Chords that the tune has not are inferred. Throws UsageError "no-such-lick" as
// lick_facts() does.
std::vector<LickPlace> places_for(const Score& tune, const Score& lick, const FitOptions& options = {});

struct Fitted {
  Score score;
  Report report;  // the melody notes that it stands in place of, and what was fingered anew
};
// Puts a lick there: strokes of the tune in its time give way, those that begin before and last into it are
// cut; chord symbols, repeats and endings stay; its notes have Role::lick; the strokes at both seams are
// fingered anew where the hands need it, and nothing else is changed.
Fitted fit_lick(const Score& tune, const Score& lick, const LickPlace& place, const FitOptions& options = {});

}  // namespace fifthpeg
