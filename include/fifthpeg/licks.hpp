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
  std::optional<Key> key;          // a lick in its relative key answers too, behind those in the key itself
  std::optional<Fraction> beats;   // that it lasts, or less than one shorter
  std::optional<FretRange> frets;  // all stopped notes lie in it; 0 to 0: open strings alone
  std::vector<std::string> techniques;  // it has them all
  std::optional<Style> style;
  std::optional<LickUse> use;  // the likeliest of its uses
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
  std::size_t replaced = 0;          // notes of the melody that begin in its time, and that it does not play
  std::vector<std::string> reasons;  // in words, the weightiest first
  std::vector<std::string> against;  // what speaks against it: of a place that somebody asks for
};

// All of them, the best first: where the chords agree and lead on to the same, the melody rests or holds a
// note, no repeat, ending or jump parts it, the tune goes on with the note that it lands on, and both hands
// get in and out. A lick may also stand in place of the last measure of a phrase, if it closes with the note
// that the phrase ends on. Chords that the tune has not are inferred, and places that either has not are
// found. Notes of one pitch that are struck again to the end of a phrase are one that is held. What is
// frailed is for a tune that is, and what is picked with index and middle is for others; a tune that gives
// the nail as a picking finger is frailed, whatever the style. A lick stands in its shapes with the capo of
// the tune, or, where it has no open strings but the fifth, elsewhere on the neck. Throws UsageError as
// lick_facts() does, and UnplayableError where no hand plays the one or the other by itself.
std::vector<LickPlace> places_for(const Score& tune, const Score& lick, const FitOptions& options = {});
// Of a lick that has no place, why, as the end of a sentence: "the melody moves wherever the tune has its
// chords".
std::string why_nowhere(const Score& tune, const Score& lick, const FitOptions& options = {});
// And the capo, up to 7, with which it might have one: where its shapes then have the tune's chords, and the
// melody rests or holds a note. Whether the tune itself is easily played so is not asked.
std::optional<int> capo_that_fits(const Score& tune, const Score& lick, const FitOptions& options = {});

// A measure that somebody asks for, whatever speaks against it. Not set: the lick begins there where it
// begins in its own first measure, and with its pickup before it. UsageError "no-such-measure" where the tune
// has no such place; UnplayableError "lick-for-other-tuning", and "no-room-for-pickup".
LickPlace place_at(const Score& tune, const Score& lick, std::size_t measure, std::optional<Fraction> at = {},
                   const FitOptions& options = {});

struct Fitted {
  Score score;
  std::size_t first = 0;  // the measures that the lick is in, as indices
  std::size_t last = 0;
  Report report;  // the melody notes that it stands in place of, and what was fingered anew
};
// Puts a lick there: strokes of the tune in its time give way, one that lasts into it is cut, and where one
// lasts beyond it, the lick's last note does; chord symbols, repeats and endings stay. Its notes have
// Role::lick, but for one that is the melody's own there and has that role. The fingers of the strokes before
// and after it are found anew where that is easier, and nothing else is changed; where the lick is what the
// tune plays there already, nothing is. Throws as place_at() and places_for() do, and UnplayableError for
// what would break a measure, a repeat or a tuplet, or cannot be played: "lick-over-end",
// "lick-over-barline", "lick-over-repeat", "lick-in-one-ending", "tuplet-parted", "lick-off-neck",
// "seam-too-fast".
Fitted fit_lick(const Score& tune, const Score& lick, const LickPlace& place, const FitOptions& options = {});

}  // namespace fifthpeg
