// The cost table: what each thing asks of the hands, in whole units. Twenty units are about the trouble of
// putting one more finger down. The search looks for the way with the smallest sum. Only changes cost: what a
// finger holds already is free, and so is letting go.
//
// That fingering is a cheapest path through such costs is published: S. Sayegh, 'Fingering for string
// instruments with the optimum path paradigm', Computer Music Journal 13(3), 1989. That players avoid
// shifts first of all, then stretches, and choose positions low on the neck: H. Heijink and R. Meulenbroek
// on the complexity of guitar playing, Journal of Motor Behavior 34, 2002. That chords are a matter of
// which fingers can stand where at once: D. Radicioni and V. Lombardo on guitar fingering as constraint
// satisfaction, 2005. None of the figures is from there: these papers say what to weigh, not how much it
// weighs on a banjo. Each entry says where it comes from; the figures are from memory of what players do,
// and tests/hands/trade_test.cpp holds them to it.
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>

#include "fifthpeg/hands.hpp"

namespace fifthpeg::hands {

using Cost = std::int64_t;

// A cost by the note value between two strokes: the first whose value is not reached gives it. Tempo plays no
// part, so that music at another tempo is fingered the same.
struct ByValue {
  int sixteenth = 0;  // and shorter, triplet eighths among them
  int eighth = 0;     // and dotted ones
  int quarter = 0;    // and dotted ones
  constexpr int at(float wholes) const {
    return wholes < 0.11F ? sixteenth : wholes < 0.2F ? eighth : wholes < 0.45F ? quarter : 0;
  }
};

// So dear that it is done only where nothing else is left.
inline constexpr int forbidden = 6000;

struct CostTable {
  // ---- fretting ----
  // A finger put down above the fourth fret, and every fret from there; where the hand first comes there,
  // instead of the latter. Half of it in a shape. Common practice: plain melodies lie in the first four
  // frets, low positions first (Heijink and Meulenbroek found the same of guitarists).
  int above_fourth = 7;
  int up_the_neck = 3;
  int first_up_the_neck = 5;
  // A note by itself, every fret above the seventh up to the eleventh. Common practice: plain melodies come
  // down the neck.
  int above_seventh = 8;
  constexpr int high_up(int fret, bool first) const {
    return fret <= 4 ? 0 : above_fourth + (fret - 4) * (first ? first_up_the_neck : up_the_neck);
  }
  constexpr int high_by_itself(int fret) const { return std::clamp(fret - 7, 0, 4) * above_seventh; }
  // Every fret above the first of the position in which the hand first stands. Common practice: beginners and
  // tunes begin in first position.
  int first_position = 3;
  // A stopped note on the fifth string: its frets are reached past the other strings. Common practice.
  // Where it is put down, and at each note.
  int fretted_drone = 120;
  int on_fretted_drone = 30;
  // After an open long string, a finger put down or laid further for a note that a silent long string gives
  // open. Common practice: among open strings what is open is played open.
  int stopped_for_open = 34;
  // An open string, where a style wants closed positions; the drone besides. Common practice, of
  // single-string style.
  int open = 0;
  int drone = 0;
  // An open string of several struck together, in the chordy manner (HandsOptions::closed).
  int open_in_chord = 0;
  // An open string for a note that is to be short: lifting a finger does not stop it.
  int open_cut_short = 300;
  // A note stopped in a pinch, while a long string beside it gives the same note open and no finger holds it
  // down. Common practice: the open string.
  int open_beside = 60;
  // A long note under the little finger above the fourth fret, that an open string gives. Common practice:
  // phrases come to rest on open strings.
  int rests_on_little_finger = 100;

  // ---- stretch ----
  // Every 5 mm beyond a comfortable stretch (reach.hpp), where a finger is put down. From memory.
  int stretch_5_mm = 8;
  // Every fret that a finger is put down below or above its own in the position, one finger a fret. Common
  // practice.
  int below_its_fret = 8;
  int above_its_fret = 14;

  // ---- fingers ----
  // A finger put down. The unit.
  int place = 20;
  // Instead, at its own fret with the hand in first position, a quarter note or more after the note before.
  // Common practice: what every player learns first, and plays plain tunes in.
  int place_at_home = 17;
  static constexpr float at_home_after = 0.2F;
  // Instead, where it belongs to one shape with a finger that is down (shapes.hpp); its other costs then
  // count three tenths. Common practice: a known shape is one thing to the hand.
  int place_in_shape = 6;
  // Instead, where it belongs to a shape of the chord symbol in force. Common practice: the hand holds the
  // chord.
  int place_in_chord = 10;
  // Where scales are played, that holds for each finger at its own fret, once the hand is in position.
  bool in_position = false;
  // The ring finger, the little finger: weaker. Common practice; a weight rather than a rule.
  int ring_finger = 2;
  int little_finger = 7;
  // The thumb over the neck, on the fifth string and on the fourth. Common practice: some do, few like to.
  int thumb_on_drone = 30;
  int thumb_on_fourth = 80;
  // A bar over two strings, put down or extended to them; of the index finger, the ring finger, another; and
  // every further string. Common practice.
  int index_bar = 8;
  int ring_bar = 32;
  int other_bar = 60;
  int bar_string = 1;
  // The finger of the note before leaps to another place, where another finger could fall into it. From
  // memory.
  int leap = 8;
  // A tied note goes on under another finger. From memory.
  int substitute = 60;
  // A tied note that changes its string, so that it is not tied at all. Only where fixed points ask for it.
  int broken_tie = 2 * forbidden;

  // ---- shift ----
  // The hand leaves its position, with all that it holds, and every fret that it goes; six tenths of
  // it after a quarter note and longer. From memory.
  int shift = 36;
  int shift_fret = 4;
  // Besides, where there is little time. From memory.
  ByValue hurried_shift{40, 0, 0};
  // Stopped notes that lie further apart than longest_step, unless open strings or a long note give the hand
  // a quarter's time, and every fret beyond. From memory.
  int longest_step = 4;
  int fast_leap = 200;
  int fast_leap_fret = 10;

  // ---- ring ----
  // A note cut short at the next stroke. Common practice: in rolls everything rings.
  int cut_at_once = 12;
  // A note marked to ring on, cut short.
  int cut_let_ring = 120;

  // ---- picking ----
  // What each picking finger asks on each string, strings 1 to 5. Common practice of three-finger players:
  // thumb on 5, 4, 3 and at need 2; index on 3, 2 and at need 4 and 1; middle on 1, 2 and at need 3.
  std::array<int, 5> thumb_on{100, 20, 0, 0, 0};
  std::array<int, 5> index_on{20, 0, 10, 40, 400};
  std::array<int, 5> middle_on{0, 14, 50, 400, 600};
  std::array<int, 5> nail_on{600, 600, 600, 600, 600};
  // Another picking finger, where it is a fixed point.
  int other_picking_finger = 40;
  // A pinch without the middle finger, or without the thumb; of two neighboring long strings, one with the
  // thumb. Common practice: thumb and middle, but index and middle side by side.
  int pinch_without_middle = 40;
  int pinch_without_thumb = 40;
  int thumb_beside = 40;
  // Every string left out inside a brush: it has to be damped. Common practice: brushes go over neighboring
  // strings.
  int skipped_in_brush = 300;
  // The thumb's pinch with the frailing nail. From memory.
  int thumb_with_nail = 120;
  // Clawhammer: the nail off the beat, the thumb on it. Common practice: the hand falls with the beat.
  int nail_off_beat = 0;
  int thumb_on_beat = 0;
  // Clawhammer: the thumb on one of strings 1 to 4 that is numbered below what the nail has just struck.
  // Common practice: the thumb drops to the string that the nail struck or to one nearer the fifth string.
  int thumb_beyond_nail = 0;
  // Single string: the index finger on the beat. Common practice: the thumb falls with the beat.
  int index_on_beat = 0;

  // ---- repeats ----
  // The same picking finger twice in a row; the thumb is the stronger. From memory: a roll of three fingers
  // reaches ten notes a second; one finger does not.
  ByValue same_picking_finger{160, 50, 0};
  ByValue same_thumb{160, 16, 0};
  // Where there is less time than this, besides; and the time under which nobody does it. Seconds count only
  // once the places are chosen (search.hpp).
  float hurried_picking_finger_under = 0.12F;
  int hurried_picking_finger = 160;
  float picking_finger_takes = 0.10F;
  // The same string twice in a row in single notes: at the same place, and stopped elsewhere. Common
  // practice: roll players change strings where the notes are fast; a melody stays on its string.
  ByValue same_place{60, 6, 0};
  ByValue same_string{30, 4, 0};
  // A pitch is struck again on another string, for every fret between, but for the drone; on the drone, where
  // a finger holds it; four frets away or more. Common practice: what is struck again stays where it is.
  int struck_elsewhere = 3;
  int held_elsewhere = 12;
  int struck_far = 300;
  // Two notes together on other strings than the two before, if one is stopped. Common practice: lines of
  // double stops stay on their strings.
  int double_stop_elsewhere = 40;

  // ---- technique ----
  // A hammer-on, a pull-off, a slide, and every fret of a slide. Common practice: fewer picked notes, but
  // each needs its finger.
  int hammer_on = 5;
  int pull_off = 5;
  int slide = 10;
  int slide_fret = 2;
  // The index finger slides alone, the little finger slides. Common practice: slides are the middle and the
  // ring finger's.
  int index_slides = 12;
  int little_finger_slides = 20;
  // The index finger chokes, the little finger chokes. Common practice: the ring or the middle finger pushes
  // the string, and those behind it help; the index finger has none behind it, the little finger is weak.
  int index_chokes = 100;
  int little_finger_chokes = 20;
  // How far these go at most, in half steps. From memory: a finger hammers as hard as a fourth, a slide is
  // heard as one up to an octave.
  int longest_hammer = 5;
  int longest_slide = 12;
  // A slur of the source that no string technique plays: it is told as lost.
  int lost_slur = 400;
  // A hammer-on, pull-off or slide that the source does not ask for (HandsOptions::suggest_slurs).
  int suggested = 50;
  // Clawhammer: a single note off the beat, after a single note of a smaller value than this, may be slurred
  // although the source does not ask for it; 0 for never. Common practice: hammer-ons and pull-offs give the
  // notes between two strokes of the nail, while the string still sounds well enough.
  float slur_off_beat_under = 0.0F;

  // ---- confinement ----
  // A stopped note outside the part of the neck that was asked for, and every fret beyond: so dear that what
  // has no place inside takes the nearest one, whatever else that asks.
  int outside = 600;
  int outside_fret = 150;
};

// The table as each style changes it, and the chordy manner (HandsOptions::closed).
CostTable cost_table(Style style, bool closed);

// How soon a learner's finger picks again without trouble. From memory.
inline constexpr double easy_repeat_seconds = 0.26;

// What a shift of so many frets takes: 80 ms and 15 ms a fret. From memory.
constexpr int shift_milliseconds(int frets) {
  return 80 + 15 * frets;
}
// Whether it takes more time than there is.
inline bool lacks_time(int frets, float seconds_there_are) {
  return static_cast<float>(shift_milliseconds(frets)) > seconds_there_are * 1000.0F;
}

}  // namespace fifthpeg::hands
