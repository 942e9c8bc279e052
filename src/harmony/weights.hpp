// What speaks for a chord and what against it, in points: ten times as many are e times as likely. The path
// through a piece with the most points is taken.
//
// Chords as a path through a hidden chain are common practice in music research, since C. Raphael and
// J. Stoddard, 'Functional harmonic analysis using probabilistic models', Computer Music Journal 28(3), 2004
// (from memory). The figures are rounded from a fit to half of the tunes of tests/reference/test_chords.py,
// held near to what the reasons beside them say; the other half judges them.
#pragma once

#include <array>
#include <cstdint>

namespace fifthpeg::harmony {

using Points = std::int64_t;

// ---- notes in a chord ---------------------------------------------------------------------------

// A note that fills the time of a chord gives these points, by half steps above the root; a shorter one a
// share of them. Chord tones speak for a chord. The flat seventh belongs to it as often as not; the sixth and
// the second pass by and do not disturb; the fourth wants to go to the third; what is foreign to both the
// chord and its scale speaks against it.
using Fit = std::array<int, 12>;
inline constexpr Fit fit_of_major{26, -28, -10, -30, 28, -15, -28, 28, -28, -9, 2, -24};
// The third of a minor chord counts for less: it is also the root of its relative major, which is likelier.
inline constexpr Fit fit_of_minor{29, -30, -10, 17, -30, -11, -30, 17, -21, -20, -4, -30};

// How much a note counts by where it begins, in tenths: players hear the harmony where the foot taps, and
// what lies between passes.
inline constexpr int on_measure = 16;
inline constexpr int on_half = 14;  // where a chord can change
inline constexpr int on_beat = 12;
inline constexpr int off_beat = 8;

// ---- chords in a key ----------------------------------------------------------------------------

struct Degree {
  int half_steps;  // of the root, above the tonic
  int fifths;      // of the root, from the tonic on the line of fifths
  bool minor;
  int points;          // how usual it is in this mode (common practice)
  bool takes_seventh;  // is played with a flat seventh where the melody has one: it leads a fifth down
};

// I, V and IV are most of folk music; ii and vi stand in for IV and I; bVII is modal color; the major chords
// on the second, third and sixth degree are dominants of their own.
inline constexpr std::array<Degree, 10> major_degrees{{{0, 0, false, 3, false},
                                                       {7, 1, false, 5, true},
                                                       {5, -1, false, -5, false},
                                                       {2, 2, true, -14, false},
                                                       {9, 3, true, -20, false},
                                                       {4, 4, true, -24, false},
                                                       {10, -2, false, -28, false},
                                                       {2, 2, false, -28, true},
                                                       {4, 4, false, -34, true},
                                                       {9, 3, false, -35, true}}};
// The flat seventh degree is what makes a tune mixolydian: its chord is the other one beside the tonic.
inline constexpr std::array<Degree, 7> mixolydian_degrees{{{0, 0, false, -3, false},
                                                           {10, -2, false, 4, false},
                                                           {5, -1, false, -9, false},
                                                           {7, 1, true, -14, false},
                                                           {7, 1, false, -17, true},
                                                           {2, 2, true, -20, false},
                                                           {9, 3, true, -24, false}}};
// In minor the dominant is major, with a raised leading tone, and VII is the modal way around it.
inline constexpr std::array<Degree, 8> minor_degrees{{{0, 0, true, -4, false},
                                                      {7, 1, false, -6, true},
                                                      {10, -2, false, -7, false},
                                                      {3, -3, false, -11, false},
                                                      {5, -1, true, -15, false},
                                                      {8, -4, false, -16, false},
                                                      {7, 1, true, -28, false},
                                                      {5, -1, false, -25, false}}};
// Dorian: i and VII, with a major IV; a leading tone is rare.
inline constexpr std::array<Degree, 8> dorian_degrees{{{0, 0, true, 4, false},
                                                       {10, -2, false, 3, false},
                                                       {3, -3, false, -11, false},
                                                       {7, 1, true, -15, false},
                                                       {5, -1, false, -17, false},
                                                       {5, -1, true, -22, false},
                                                       {7, 1, false, -25, true},
                                                       {8, -4, false, -29, false}}};

// ---- from chord to chord ------------------------------------------------------------------------

// A chord lasts; it changes at a barline sooner than inside a measure.
inline constexpr int change_at_barline = -5;
inline constexpr int change_inside = -26;
// Roots fall by a fifth more often than they move in any other way, most of all from a dominant.
inline constexpr int fall_of_fifth = 4;
inline constexpr int fall_from_major = 3;  // besides
inline constexpr int rise_of_fifth = 4;    // I to V, IV to I
// A dominant goes home.
inline constexpr int dominant_elsewhere = -7;
// Tunes end on their tonic.
inline constexpr int end_on_tonic = 24;

// A seventh is written where it sounds for this part of what sounds over its chord, in percent.
inline constexpr int seventh_share = 12;

// ---- the key ------------------------------------------------------------------------------------

// For each tonic and mode: of all that sounds, the shares in percent times these. The modes differ in one or
// two notes, so that what lies outside of the scale weighs most. Chosen on a third of the 4,209 tunes of
// three printed collections, by the tonics that these name. Where there are chord symbols, their tones count
// once more as what sounds, by how long they last: whoever wrote them had the key in mind, and a few notes
// alone fit several. Chosen, with ends_on_chord, on the odd tunes of tests/reference/chord_tunes.abc.
struct KeyWeights {
  int outside = -150;        // of the scale
  int in_chord = 100;        // of the tonic
  int on_tonic = 30;         // besides
  int begins_in_chord = 50;  // of the notes that begin measures
  int begins_on_tonic = 20;
  // Points of their own, in hundredths of a whole share.
  int ends_on_tonic = 35;  // tunes do (common practice)
  int ends_on_fifth = 5;   // some that lead back into their beginning
  int ends_on_chord = 40;  // the last chord symbol is the tonic's, with its third: it says more than the note
  int accidental = -12;   // each that the signature has too many or too few; a wrong one is off by one or two
  int accidentals = -36;  // no more than that
  int as_named = 10;      // the tonic and third that the signature names: many files say major of whatever
  int minor = -2;         // rarer
  int dorian = -6;        // rarer still
  int mixolydian = -8;
};

}  // namespace fifthpeg::harmony
