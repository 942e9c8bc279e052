// How hard a piece is for a learner: a weight for each thing that it asks of the hands (demands.hpp).
//
// Effort is the sum of the parts below. Each part only grows with what it weighs, and what makes one part
// smaller makes another greater by more, so that music which is made harder never counts as easier
// (tests/property/difficulty_test.cpp). All weights are from memory: of what teachers hand out in the first
// months, the first years and later.
#pragma once

#include <array>
#include <cstdint>

namespace fifthpeg::hands {

struct DifficultyWeights {
  // ---- the picking hand ----
  // Every stroke a second. Eighths over a quarter beat are 3.3, sixteenths 6.7.
  double stroke_a_second = 0.35;
  // Syncopated strokes, as a share of that: the first, each further one, and at most. Where values are halved
  // that are no thirds of a beat any more, the strokes gain more than this loses.
  double first_syncopation = 0.25;
  double each_syncopation = 0.05;
  double most_syncopation = 0.5;
  // Thumbs that drop to a long string in clawhammer: their square root. From memory: it comes a year after
  // the rest.
  double dropped_thumb = 0.8;

  // ---- the fret hand ----
  // The hardest posture: every millimeter of stretch from here on, to the end of what hands do; every fret
  // above the fourth; every string that is stopped in one stroke. The same stretch is 5.6 % shorter a
  // fret further up, at most 8.4 mm: that fret has to weigh more.
  double stretch_from_mm = 80.0;
  double stretch_mm = 0.022;
  int first_frets = 4;
  double fret_up_the_neck = 0.25;
  double string_at_once = 0.3;
  // Frets that the hand has to move by, and slurs: their square root, as the tenth is no news.
  double travel = 0.45;
  double slurs = 0.45;
  // What one of each is beside a hammer-on, by Technique; and a choke.
  std::array<double, 5> slur_of{0.0, 1.0, 1.2, 1.2, 1.0};
  double choke = 1.5;
  // Fingers that are put down: every string that is stopped beyond two, and every stopped stroke beyond four
  // up to sixteen, which is two measures of eighths. A chord that is held, or a scale across the strings, is
  // more trouble than a finger now and then.
  int free_strings = 2;
  double stopped_string = 0.25;
  std::uint64_t free_strokes = 4;
  std::uint64_t most_strokes = 16;
  double stopped_stroke = 0.05;

  // ---- levels ----
  // The effort from which levels 2 to 5 begin. An open roll in eighths is of level 1, with a held chord or a
  // few slurs in the first frets 2, up the neck 3, and with shifts between 4.
  std::array<double, 4> level_from{1.5, 2.7, 3.9, 6.0};

  // ---- tempos ----
  // Strokes a second in the fastest run: what a learner of each level starts with, and aims for. A roll of
  // three fingers reaches ten (costs.hpp); half of that is a learner's.
  std::array<double, 5> start_strokes{2.5, 2.3, 2.1, 1.9, 1.7};
  double goal_strokes = 5.0;
  // No slower, and no faster, in beats a minute; and the greatest step of a ladder, as a share.
  int slowest = 30;
  int fastest_start = 90;
  int fastest_goal = 160;
  double step = 0.12;
};

}  // namespace fifthpeg::hands
