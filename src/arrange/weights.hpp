// What speaks for and against an arrangement beside what it asks of the hands, in units of the hands' cost
// table: twenty are about the trouble of putting one more finger down. Where a figure has no other source it
// is from memory of what players do; tests/arrange holds what comes of them.
#pragma once

#include <array>

namespace fifthpeg::arranging {

// So dear that it is done only where nothing else is left.
inline constexpr int not_done = 4000;

// ---- the melody: what it costs to leave a note of it out -------------------------------------------

// By where it begins. Common practice: a tune is known again by what stands on its beats, the first of a
// measure most of all.
inline constexpr int on_measure = 330;
inline constexpr int on_half = 290;
inline constexpr int on_beat = 240;
// Off the beat, by level. Common practice: beginners play the bones of a tune, and leave the rest to the
// roll.
inline constexpr std::array<int, 4> off_beat{60, 70, 92, 150};
// In clawhammer, where nothing but the tune itself moves off the beat at the highest level.
inline constexpr std::array<int, 4> off_beat_frailed{60, 70, 80, 130};
// Of that, in percent, for a note that is shorter than those of the roll: the short one of a dotted pair.
// From memory: it is the first that players leave to the drone.
inline constexpr int off_the_roll = 50;
// Besides: as long as a beat; the highest or lowest note about; in the chord; the last of a phrase.
inline constexpr int long_note = 30;
inline constexpr int contour = 14;
inline constexpr int in_chord = 10;
inline constexpr int phrase_end = 80;
// Of that, in percent, for a pitch off the beat that is struck again: the one before rings on.
inline constexpr int struck_again = 25;
// The same for one that comes back after one other note, as where a tune goes to and fro over a low note.
// Common practice: it still rings, and the roll goes on over it.
inline constexpr int comes_back = 60;
// The melody on the fourth string, which is dull; on the fifth, which is the drone's. From memory.
inline constexpr int on_fourth = 6;
inline constexpr int on_fifth = 16;
// An octave away from the others of its phrase is none of its notes: not done.

// ---- fills: what sounds between --------------------------------------------------------------------

// Against the melody note that sounds, on the beat and off: a half step, a whole step. Common practice: a
// half step beside the melody hides it.
inline constexpr int half_step[2] = {50, 24};
inline constexpr int whole_step[2] = {10, 5};
// A fill higher than the melody is heard as melody.
inline constexpr int above_melody = 5;
// The drone where it is no note of the chord: as its second, fourth, sixth or flat seventh; or else, wherever
// it stands.
inline constexpr int drone_beside = 7;
inline constexpr int drone_against = 30;
inline constexpr int drone_on_beat = 5;
// Off the beat it is what makes a banjo sound like one; by level, as the melody off the beat weighs more,
// too.
inline constexpr std::array<int, 4> drone_off_beat{-31, -31, -43, -58};
// Each further time in the same unit, the third twice that.
inline constexpr int drone_again = 24;
// A fill on the string of a melody note that is still to ring.
inline constexpr int cuts_melody = 10;
// A fill of the pitch that the melody is about to strike takes its surprise.
inline constexpr int anticipates = 5;
// A fill of the pitch that was struck just before, on another string: nothing moves.
inline constexpr int pitch_again = 14;
// A fill that has the pitch class of a melody note left out there brings it back after all.
inline constexpr int stands_in = -6;
// The flat seventh of a chord of which no seventh was asked for.
inline constexpr int unasked_seventh = 3;

// ---- the neck ----------------------------------------------------------------------------------------

// The highest fret of each level. Common practice: beginners play in the first frets, then with what lies up
// to a position from the seventh, then to the octave; above it is for those who know the whole neck.
inline constexpr int highest_fret(int level) {
  constexpr std::array<int, 4> frets{4, 10, 12, 15};
  return frets.at(static_cast<std::size_t>(level - 1));
}
// A stopped note for every fret above these, by string. From memory: up there it sounds dull, and a higher
// string has it; the fourth string goes as far as scales across the strings need it.
inline constexpr std::array<int, 5> dull_above{12, 9, 9, 7, 22};
inline constexpr int dull_each_fret = 12;

// A melody note up the neck that lies in the first frets, too, for learners. Common practice: they stay where
// they know their way.
inline constexpr int up_for_nothing = 30;
// Two stopped notes one after the other, further apart than a level's hand reaches without leaving its place.
inline constexpr std::array<int, 4> longest_step{3, 3, 4, 4};
inline constexpr int wide_step = 30;

// ---- the picking hand's patterns -------------------------------------------------------------------

// A string of a cell that gives way to the melody, and half of what the cell costs besides.
inline constexpr int replaced = 14;
// All strings chosen for the melody's sake, none by a pattern; by level. Common practice: learners hold on to
// patterns, players of whole tunes follow the tune.
inline constexpr std::array<int, 4> no_pattern{34, 24, 10, 10};
// A slot in which nothing is struck, while the tune goes on. Common practice: rolls do not stop.
inline constexpr int empty_slot = 50;
// A cell without the thumb has no pulse; nor have four strokes in a row.
inline constexpr int no_thumb = 24;
// Two picking fingers that lie the other way round than their strings, one stroke after the other: the index
// finger under the thumb. Common practice: a hand over the strings does not do it.
inline constexpr int crossed = 40;
// Four strokes over two strings: a trill, no roll. The best sign that a player would not play it.
inline constexpr int two_strings = 52;
// Over one: single string playing, which is another style.
inline constexpr int one_string = 80;
// The index finger on the fourth string, the middle finger on the third, besides what the hands' table says
// of it. Common practice: these are the thumb's and the index finger's; the other reaches over it.
inline constexpr int reaches_over = 90;
// One string twice in a row, both melody.
inline constexpr int same_string = 12;
// The pattern of the cell before, again: hands like to go on; at level 1, what learners are promised.
inline constexpr std::array<int, 4> other_pattern{24, 8, 5, 5};
// A slur that gives a melody note off the beat; a slide or hammer-on that leads to one on the beat. Common
// practice: that is how the banjo sings.
inline constexpr int slurred_note = -6;
inline constexpr int ornament = -4;
inline constexpr int ornament_before_lower = 30;  // where the melody goes on downwards
// A pinch; one that a phrase lands on. Common practice: that is how phrases and tunes end.
inline constexpr int pinched_note = 4;
inline constexpr int landing_pinch = -14;
// One on a beat where a melody note of so many slots begins, two beats in duple meters. Common practice: what
// is held is struck fuller, and the roll goes on under it.
inline constexpr int long_slots = 4;
inline constexpr int long_pinch = -10;
// A lick from the table where the melody rests.
inline constexpr int table_lick = -40;
// Each unit of a lick that the player brings along: before any from the table, unless there is no way into
// it or out of it. What is brought along is to be heard, also where it is more work for the hands.
inline constexpr int own_lick = -300;

// ---- clawhammer --------------------------------------------------------------------------------------

// A single note of the chord under the nail where the tune holds or rests, besides for another than the root;
// and where a brush would stand. Common practice: the first beat of the pair has a note, low ones above all,
// the second the brush.
inline constexpr int note_of_chord = 4;
inline constexpr int not_the_root = 3;
inline constexpr int note_for_brush = 10;
// It has the pitch that the melody is about to strike: the tune would seem to begin early.
inline constexpr int strikes_coming = 20;
// A brush over two strings. Common practice: over three, with two for what does not lie well.
inline constexpr int narrow_brush = 2;
// The thumb's fifth string, where it is no note of the chord: as its second, fourth, sixth or flat seventh,
// or else. Less than in rolls: common practice is that it sounds on under every chord.
inline constexpr int thumb_beside = 1;
inline constexpr int thumb_against = 6;
// Where the thumb plays after the first note of a pair, a brush follows less well; where it does not, and the
// tune moves in beats, the hand has waited. Common practice: double thumbing is for such tunes.
inline constexpr int doubled_before_brush = 6;
inline constexpr int waited_before_note = 6;
// Bum-ditty after double thumbing and the other way round, by level, but for a new phrase.
inline constexpr std::array<int, 4> other_strum{24, 8, 4, 4};
// Melody off the beat by a hammer-on or pull-off, by a slide, by the thumb: on another string than the
// nail's, or on that again, stopped elsewhere. Common practice: where strings lie open the thumb drops, where
// a line stays on its string the fret hand plays it.
inline constexpr int frail_slur = 0;
inline constexpr int frail_slide = 6;
inline constexpr int drop_thumb = -12;
inline constexpr int drop_stopped_anew = 20;
// The thumb on a stopped string in a pickup, up to level 2. Common practice: learners lead into a tune with
// the nail, and with a hammer-on or pull-off after it.
inline constexpr int drop_stopped_by_learners = 60;
// The thumb passes over a string between; common practice is the string beside the nail's.
inline constexpr int drop_each_string = 6;
// A hammer-on or pull-off from a note of the chord: the beat is not the tune's.
inline constexpr int slurred_from_chord = 4;

}  // namespace fifthpeg::arranging
