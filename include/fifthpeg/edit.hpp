// Editing a score so that it stays sound, see flaws(), and in the one form of normalize(). Measures and
// strokes are named by their indices; one beyond the end is a UsageError ("no-such-measure",
// "no-such-stroke"), and the score is then unchanged.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg {

// `count` measures from `first` on, as a score of their own. The tempo and the chord symbol in force there
// are stated at its start. What leads across the cuts ends at them: ties, slurs, slides. Repeats and endings
// that are cut open, and jumps that lose one of their signs, lose all of them: what is left is played
// straight through.
Score slice(const Score& score, std::size_t first, std::size_t count);

// Puts the measures of a piece in place of `replaced` measures from `at` on; none are replaced by default,
// and an `at` behind the last measure appends. The piece is not transposed; where it is for another banjo,
// placements that do not give their pitch on the score's are taken out, which is reported. What leads across
// the seams ends at them. After the piece, the tempo and the chord symbol are again those that were in force.
// A repeat that the piece falls into is played with the piece in it, unless the piece has repeats itself;
// jumps that would lead past the piece, and the piece's own, are taken out.
// Measures that were counted from the start are counted again.
Report splice(Score& score, std::size_t at, const Score& piece, std::size_t replaced = 0);

// Puts other strokes into the time of one that is not grace. They follow each other from its onset, whatever
// their own onsets are; a tuplet that it is of goes on through those that state none. What was tied or
// slurred to it ends. UsageError "strokes-do-not-fill" where their durations do not add up to its own.
void replace_stroke(Score& score, std::size_t measure, std::size_t stroke, std::vector<Stroke> strokes);

// Puts strokes into a stretch of time, over barlines too. They follow each other from `at` in a measure,
// whatever their own onsets are, and the last of them, which is not grace, ends the stretch. Strokes that
// begin in it give way; one that lasts into it is cut short, and of one that lasts beyond it the rest is
// silence. What was tied or slurred over either end ends there; everything else of the measures stays.
// UsageError "no-such-measure" where the score ends first, "stroke-over-barline" where one of the strokes
// would lie over a barline, "tuplet-parted" where the stretch begins or ends inside a tuplet.
void lay_over(Score& score, std::size_t measure, Fraction at, std::vector<Stroke> strokes);

// Makes the strokes of a measure fill its length: gaps become rests, what overlaps is cut short, and what
// lies beyond the end is taken out. For a measure whose strokes or length have been changed.
void refill(Score& score, std::size_t measure);

// One key from the start to the end, a major one where no mode is stated, and the pitches spelled in it.
void state_key(Score& score, Key key);

// How a piece ends: as it is written, or like a recording, of which nobody knows how long the silence after
// its last note belongs to it.
enum class PieceEnd : std::int8_t { written, open };

// Writes what is played several times in a row once, between repeat signs, and with a first and a second
// ending where the first time ends otherwise than the second: the other way round than unfolded(), which
// plays the result as the score was. Parts of four measures or more are folded, so that as few measures as
// possible are printed; where the piece begins with a pickup, they may begin with one too, inside a measure,
// which is then split. A score that has repeats or jumps already stays as it is. The report says how much was
// folded, and of an open end whether a rest came to it: one that stands before the other pickups, too.
Report fold_repeats(Score& score, PieceEnd end = PieceEnd::written);

// Keeps the notes of these roles and nothing else, each where it is and as long as it is: what is struck with
// it goes, a stroke of which nothing stays becomes a rest, without its words, or, as a grace note, goes too.
// A technique between a note that stays and one that goes ends, and a brush of which one note stays is none.
// The melody alone sounds on as a tune does: the time of what goes, whole tuplets of it, is added to the note
// before it in the measure, unless the score rests between them, or that note is staccato, damped or dead.
// UsageError where the score says of no note what it is for ("no-roles"), and where it has none of these
// ("no-such-role"); the score is then unchanged.
void keep_only(Score& score, const std::vector<Role>& roles);

// One tempo from the start to the end. Returns how many there were that it takes the place of.
std::size_t state_one_tempo(Score& score, const Tempo& tempo);

}  // namespace fifthpeg
