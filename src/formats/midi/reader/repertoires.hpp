// What was counted of where notes stand in measures, in two kinds of music.
#pragma once

#include <array>
#include <span>
#include <string_view>

namespace fifthpeg::midi::reader {

// Places of a measure by what they are like.
struct MetricPlace {
  char letter;
  double after_rest, after_note;  // share of such places with an onset, where the step before has none or one
  std::array<double, 4> interval;  // log ratio of repeated note, step, third, leap into it, to that anywhere
  double last;                     // log of the share of tunes that end there
  double accent;                   // common practice
  // Log ratio of notes there that take up three quarters of a measure to those anywhere.
  double held = 0.0;
};

// Measures, a letter a step.
struct MeasureStructure {
  std::string_view steps;
  int beats, unit;  // its meter
  int step_den;     // a step is one of so many parts of a whole note
  int beat_steps;
  double prior;
};

// Shares of tunes by the length of their pickup.
struct PickupShares {
  double none, half_beat, beat, longer;
};

// How much each kind of evidence counts.
struct EvidenceWeights {
  double onset, interval, copy, first, last, accent, held = 0.0;
};

struct Repertoire {
  std::span<const MetricPlace> places;
  std::span<const MeasureStructure> measures;
  PickupShares pickups;
  EvidenceWeights weights;
  double usual_beat_s;  // how long a beat usually lasts,
  double beat_octaves;  // and how far that spreads in octaves (common practice)
};

// Counted in 212 tunes of printed collections of fiddle tunes, most of them in eighths throughout (a sixth of
// Ryan's Mammoth Collection, 1883; airs and jigs of Aird, 1782, and O'Neill, 1903); the weights were fitted
// to them by logistic regression.
inline constexpr std::array<MetricPlace, 13> fiddle_places{{
    {'D', 0.97, 0.97, {-0.21, 0.23, -0.76, 0.20}, -1.82, 1.0},    // downbeat
    {'B', 0.94, 0.97, {0.73, -0.02, -0.44, 0.01}, -0.61, 0.5},    // second of two beats
    {'W', 0.66, 0.95, {0.62, -0.24, -0.03, 0.19}, -3.88, 0.3},    // second of three beats
    {'X', 0.94, 0.97, {0.40, 0.14, -0.34, -0.35}, -3.51, 0.3},    // third of three beats
    {'h', 0.54, 0.67, {0.24, -0.04, -0.05, 0.05}, -4.98, -0.1},   // half a beat, in the first beat
    {'H', 0.72, 0.80, {0.37, -0.06, -0.09, 0.06}, -2.00, -0.1},   // half a beat, in the last beat
    {'s', 0.27, 0.63, {-1.69, -0.19, 0.44, 0.11}, -6.08, -0.3},   // quarters of a beat, in the first beat
    {'S', 0.41, 0.67, {-1.60, -0.01, 0.28, -0.05}, -3.37, -0.3},  // and in the last one
    {'t', 0.47, 0.10, {-0.50, -0.01, 0.09, 0.10}, -4.98, -0.4},   // what is finer
    {'c', 0.77, 0.65, {-0.98, -0.13, 0.51, -0.46}, -6.08, -0.3},  // thirds of a beat, in the first beat
    {'d', 0.88, 0.97, {0.78, -0.22, 0.25, -0.91}, -6.08, -0.2},
    {'C', 0.68, 0.62, {-2.91, 0.15, 0.15, -0.28}, -6.08, -0.3},  // and in the last one
    {'E', 0.91, 0.97, {-0.30, 0.01, 0.20, -0.32}, -2.94, -0.2},
}};

inline constexpr std::array<MeasureStructure, 11> fiddle_measures{{
    {"DhBH", 4, 4, 4, 2, -0.5},
    {"DshsBSHS", 4, 4, 8, 4, 0.42},
    {"DtsthtstBtStHtSt", 4, 4, 16, 8, -2.98},
    {"DhBH", 2, 4, 8, 2, -0.5},
    {"DshsBSHS", 2, 4, 16, 4, 0.42},
    {"DWX", 3, 4, 4, 1, 0.30},
    {"DhWhXH", 3, 4, 8, 2, 2.40},
    {"DshsWshsXSHS", 3, 4, 16, 4, 0.24},
    {"DcdBCE", 6, 8, 8, 3, 1.87},
    {"DtctdtBtCtEt", 6, 8, 16, 6, -2.95},
    {"DcdWcdXCE", 9, 8, 8, 3, -0.03},
}};
inline constexpr Repertoire fiddle_tunes{fiddle_places,
                                         fiddle_measures,
                                         {0.236, 0.596, 0.157, 0.012},
                                         {0.04, 0.30, 0.14, 0.81, 0.68, 0.25},
                                         0.55,
                                         0.5};

// Counted in 975 songs of the Essen folk song collection (H. Schaffrath, 1995), of quarters and halves,
// dotted quarters and eighths; the weights likewise. More
// songs begin with a downbeat, or three beats before one, than there (common practice).
// No share is 1: what was never counted may yet be played.
inline constexpr std::array<MetricPlace, 11> song_places{{
    {'D', 0.99, 0.995, {-0.31, 0.12, -0.24, 0.26}, -0.45, 1.0, 1.47},    // downbeat
    {'Q', 0.67, 0.89, {0.31, -0.12, -0.04, -0.23}, -3.11, 0.2, -1.94},   // second of four beats
    {'B', 0.86, 0.99, {-0.17, 0.09, -0.12, 0.08}, -1.54, 0.5, -1.06},    // third of four beats, second of two
    {'R', 0.79, 0.93, {0.17, -0.13, 0.06, 0.04}, -3.34, 0.2, -3.94},     // fourth of four beats
    {'W', 0.54, 0.74, {0.18, -0.16, 0.17, -0.05}, -2.90, 0.3, -1.71},    // second of three beats
    {'X', 0.82, 0.99, {-0.11, 0.03, -0.08, 0.18}, -5.97, 0.3, -4.54},    // third of three beats
    {'h', 0.47, 0.33, {0.08, -0.10, 0.24, -0.18}, -4.44, -0.1, -4.89},   // half a beat
    {'s', 0.15, 0.05, {0.02, 0.20, -0.39, -0.60}, -6.48, -0.3, -3.16},   // quarters of a beat
    {'c', 0.29, 0.32, {-0.26, 0.23, -0.08, -0.64}, -5.63, -0.3, -2.07},  // thirds of a beat
    {'d', 0.82, 0.98, {0.19, -0.20, 0.17, 0.04}, -5.97, -0.2, -4.26},
    {'t', 0.11, 0.04, {-0.17, 0.37, -0.73, -1.44}, -7.58, -0.4, -2.23},  // sixths of a beat
}};
inline constexpr std::array<MeasureStructure, 11> song_measures{{
    {"DQBR", 4, 4, 4, 1, -0.72},
    {"DhQhBhRh", 4, 4, 8, 2, 0.02},
    {"DshsQshsBshsRshs", 4, 4, 16, 4, 0.09},
    {"DB", 2, 4, 4, 1, -0.72},
    {"DhBh", 2, 4, 8, 2, 0.02},
    {"DshsBshs", 2, 4, 16, 4, 0.09},
    {"DWX", 3, 4, 4, 1, -2.12},
    {"DhWhXh", 3, 4, 8, 2, -0.08},
    {"DshsWshsXshs", 3, 4, 16, 4, 0.18},
    {"DcdBcd", 6, 8, 8, 3, 0.51},
    {"DtctdtBtctdt", 6, 8, 16, 6, 2.12},
}};
inline constexpr Repertoire songs{
    song_places, song_measures, {0.45, 0.12, 0.31, 0.12}, {0.25, 0.42, 0.08, 0.65, 0.43, 0.25, 0.28},
    0.62,        0.25};

}  // namespace fifthpeg::midi::reader
