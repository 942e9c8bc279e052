// The cost table: what each thing asks of the hands, in whole units. One unit is about the trouble of
// putting one more finger down. The search looks for the way with the smallest sum.
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

#include <array>
#include <cstdint>

#include "fifthpeg/hands.hpp"

namespace fifthpeg::hands {

using Cost = std::int64_t;

// A cost that grows as time gets shorter: the first entry whose time is not reached gives it.
struct BySeconds {
  struct Entry {
    float under;  // seconds
    int cost;
  };
  std::array<Entry, 6> entries{};
  constexpr int at(float seconds) const {
    for (const Entry& entry : entries) {
      if (seconds < entry.under) return entry.cost;
    }
    return 0;
  }
};

// So dear that it is done only where nothing else is left.
inline constexpr int forbidden = 300;

struct CostTable {
  // ---- fretting ----
  // A stopped note where an open string would do. Common practice: open strings ring and leave time.
  int fretted = 1;
  // Every fret that the hand's position lies above the fourth. Common practice: low positions first (Heijink
  // and Meulenbroek found the same of guitarists).
  int up_the_neck = 1;
  int low_position = 4;
  // A note by itself, stopped above the fourth fret. Common practice, of rolls and clawhammer: plain melodies
  // lie in the first four frets, among the open strings.
  int above_fourth_fret = 0;
  // A stopped note on the fifth string: its frets are reached past the other strings. Common practice.
  int fretted_drone = 5;
  // An open string, where a style wants closed positions. Common practice, of single-string style.
  int open = 0;
  // The drone string sounding in a melody line. Common practice, of single-string style.
  int drone = 0;

  // ---- stretch ----
  // Every 5 mm beyond a comfortable stretch (reach.hpp). From memory.
  int stretch_5_mm = 2;
  // Every fret that two fingers stand closer together than one finger a fret. Common practice.
  int cramped = 1;
  // Every fret that two fingers stand further apart than one finger a fret, however short the frets are.
  // Common practice.
  int spread = 2;

  // ---- fingers ----
  // A finger put down. The unit.
  int place = 1;
  // Another finger takes over the very place of one that has played there and is still down. From memory.
  int swap = 2;
  // The ring finger, the little finger: weaker. Common practice; a weight rather than a rule.
  int ring_finger = 0;
  int little_finger = 1;
  // The thumb over the neck, on the fifth string and on the fourth. Common practice: some do, few like to.
  int thumb_on_drone = 3;
  int thumb_on_fourth = 8;
  // A bar of the index finger, or its lying down from one string to another at its fret; of the ring
  // finger; of another. Common practice.
  int index_bar = 1;
  int ring_bar = 4;
  int other_bar = 6;
  // The same finger leaps to another fret or string from one stroke to the next, where another finger could
  // fall into place. From memory.
  int leap = 3;
  // A tied note goes on under another finger. From memory.
  int substitute = 6;
  // A tied note that changes its string, so that it is not tied at all. Only where fixed points ask for it.
  int broken_tie = 2 * forbidden;

  // ---- shift ----
  // The hand leaves its position, and every fret that it goes. From memory.
  int shift = 4;
  int shift_fret = 1;
  // Instead of the first of these, where two fingers or more keep their strings and the shape goes along as a
  // block. Common practice: players slide chord shapes and their two-finger parts.
  int shift_block = 1;
  // Every 20 ms that the shift has too little time, at most ten times. A hand is taken to need 80 ms and
  // 15 ms a fret, and has a third of the time from a stopped note to the next one (its note must sound
  // until then), but all of the time of open strings between. From memory.
  int hurry_20_ms = 1;

  // ---- ring ----
  // A note cut short at the next stroke, and later. Common practice: in rolls everything rings.
  int cut_at_once = 2;
  int cut_later = 1;
  // Instead of the latter, a note of a grip of several fingers. Common practice: closed shapes stay on while
  // their notes are picked one by one.
  int cut_shape = 2;
  // A note marked to ring on, cut short.
  int cut_let_ring = 12;

  // ---- picking ----
  // What each picking finger asks on each string, strings 1 to 5. Common practice of three-finger players:
  // thumb on 5, 4, 3 and at need 2; index on 3, 2 and at need 4 and 1; middle on 1, 2 and at need 3.
  std::array<int, 5> thumb_on{12, 3, 0, 0, 0};
  std::array<int, 5> index_on{3, 0, 1, 4, 40};
  std::array<int, 5> middle_on{0, 1, 5, 40, 60};
  std::array<int, 5> nail_on{60, 60, 60, 60, 60};
  // Another picking finger, where it is a fixed point.
  int other_picking_finger = 4;
  // A pinch without the middle finger. Common practice: thumb and middle, or index and middle.
  int pinch_without_middle = 2;
  // Every string left out inside a brush: it has to be damped. Common practice: brushes go over neighboring
  // strings.
  int skipped_in_brush = 30;
  // The thumb's pinch with the frailing nail. From memory.
  int thumb_with_nail = 12;
  // Clawhammer: the nail off the beat, the thumb on it. Common practice: the hand falls with the beat.
  int nail_off_beat = 0;
  int thumb_on_beat = 0;
  // Clawhammer: the thumb on one of strings 1 to 4 that is numbered below what the nail has just struck.
  // Common practice: the thumb drops to the string that the nail struck or to one nearer the fifth string.
  int thumb_beyond_nail = 0;
  // Single string: the index finger on the beat. Common practice: the thumb falls with the beat.
  int index_on_beat = 0;

  // ---- repeats ----
  // The same picking finger twice in a row. From memory: at 130 beats a minute eighths are 0.23 s apart, and
  // a roll of three fingers reaches ten notes a second; one finger does not.
  BySeconds same_picking_finger{
      {{{0.10F, forbidden}, {0.15F, 60}, {0.20F, 20}, {0.26F, 10}, {0.36F, 4}, {0.55F, 1}}}};
  // The same string twice in a row. Common practice: roll players change strings where the notes are fast;
  // a melody in quarters, or in slow eighths, stays on its string.
  BySeconds same_string{{{{0.10F, 60}, {0.15F, 30}, {0.20F, 12}, {0.24F, 6}, {0.28F, 1}, {0.0F, 0}}}};

  // ---- technique ----
  // A hammer-on, a pull-off, a slide, and every fret of a slide. Common practice: fewer picked notes, but
  // each needs its finger.
  int hammer_on = 1;
  int pull_off = 2;
  int slide = 2;
  int slide_fret = 1;
  // The little finger slides. Common practice: slides are the middle and the ring finger's.
  int little_finger_slides = 4;
  // How far these go at most, in half steps. From memory: a finger hammers as hard as a fourth, a slide is
  // heard as one up to an octave.
  int longest_hammer = 5;
  int longest_slide = 12;
  // A slur of the source that no string technique plays: it is reported as lost.
  int lost_slur = 40;
  // A hammer-on, pull-off or slide that the source does not ask for (HandsOptions::suggest_slurs).
  int suggested = 5;
  // Clawhammer: a single note off the beat that comes sooner than this many seconds after a single note may
  // be slurred although the source does not ask for it; 0 for never. Common practice: hammer-ons and
  // pull-offs give the notes between two strokes of the nail. The time, in which a note still sounds well
  // enough to be slurred from, is from memory.
  float slur_off_beat_under = 0.0F;

  // ---- confinement ----
  // A stopped note outside the part of the neck that was asked for, and every fret beyond: so dear that what
  // has no place inside takes the nearest one, whatever else that asks.
  int outside = 60;
  int outside_fret = 15;
};

// What a way to set up the banjo asks besides the hands' cost (advise()), in hundredths of a unit for every
// note of the piece. Players set up so that the open strings sound the chord of the key, retune little and
// put the capo low; how much they would rather is from memory.
struct SettingCosts {
  // ---- tuning and capo ----
  // Another tuning than open G, and every string that has to be retuned for it. Common practice: open G is
  // what a banjo is tuned to.
  int retuned = 70;
  int retuned_string = 4;
  // A capo, every fret of it, every fret beyond the second, and again beyond the third. Common practice:
  // capo 2 for A and D, 3 for B flat, seldom higher.
  int capo = 10;
  int capo_fret = 6;
  int high_capo_fret = 55;
  int highest_capo_fret = 80;
  // Every fret that the fifth string's capo is away from where it goes along with the other.
  int fifth_capo_fret = 8;

  // ---- open strings ----
  // A long string, open, that is not of the key's chord. Common practice: G from open G, C from the C
  // tunings, D from the D tunings or double C with capo 2.
  int string_off_chord = 75;
  // Instead, in minor and modal tunes, the fourth or the minor seventh. Common practice: modal tunings have
  // the fourth where the third would be.
  int string_stands_in = 25;
  // Besides, where the piece does not have the note at all.
  int string_outside = 80;
  // No long string sounds the tonic.
  int no_tonic = 45;
  // The drone sounds the third of the key; neither tonic, third nor fifth. Common practice: the drone is
  // tuned to the key.
  int drone_third = 25;
  int drone_outside = 250;

  // ---- the piece ----
  // It sounds in another key than written.
  int other_key = 20;
  // A note beyond the banjo's range: each of them, not every note.
  int outside = 30'000;
};

// The table as each style changes it.
CostTable cost_table(Style style);

// How much time a shift of `frets` lacks, in steps of 20 ms, 0 to most_hurry_steps; see
// CostTable::hurry_20_ms.
inline constexpr int most_hurry_steps = 10;
inline int hurry_steps(int frets, float seconds_there_are) {
  const int lacking_ms = 80 + 15 * frets - static_cast<int>(seconds_there_are * 1000.0F);
  if (lacking_ms <= 0) return 0;
  return lacking_ms >= 20 * (most_hurry_steps - 1) ? most_hurry_steps : 1 + lacking_ms / 20;
}

}  // namespace fifthpeg::hands
