// The figures of the sound model. src/formats/page/plucked_string.js has the same figures under the same
// names; a test holds them together.
//
// "By figures" says that a value was chosen by looking at decay times, envelopes and spectrograms of what the
// model gives, from memory of how the instrument behaves; no measurement of one stands behind it.
#pragma once

#include <array>

namespace fifthpeg::audio {

// ---- strings ---------------------------------------------------------------------------------------

struct StringSettings {
  // The time in which the fundamental of a string of `reference_hz` falls by 60 dB; higher ones fall faster,
  // with the power `decay_slope` of their frequency.
  double decay_seconds;
  double decay_slope;
  // The same of partials at `bright_hz`, on any string; or as soon as an average of two samples lets them,
  // which is 0.6 s on a string of 200 Hz.
  double bright_seconds;
  // After a finger has left the string, and after a hand has stopped it.
  double lift_seconds;
  double stop_seconds;
  // Of a note that is struck dead.
  double dead_seconds;
  // Where the string is picked: its distance from the bridge, in parts of the scale.
  double pick_distance;
  // How wide the pick's pulse is at the highest velocity; at the lowest it is twice as wide.
  double pulse_seconds;
  // The noise of the pick: how strong, where the pulse is 1.
  double noise;
  double level;
};

inline constexpr double reference_hz = 200;
inline constexpr double bright_hz = 4000;
inline constexpr double noise_seconds = 0.004;

// Picked 9 cm from the bridge of a scale of 66.7 cm (common practice). That notes of a banjo are bright and
// last about a second or less is common knowledge; the times are by figures.
inline constexpr StringSettings banjo_string{1.7, 0.6, 0.25, 0.30, 0.06, 0.05, 0.135, 0.00014, 0.25, 1.0};
// By figures: dull and longer than a banjo, so that it stays out of its way.
inline constexpr StringSettings bass_string{1.8, 0.4, 0.06, 0.20, 0.09, 0.08, 0.25, 0.0025, 0.05, 0.4};
inline constexpr StringSettings chord_string{1.5, 0.4, 0.12, 0.18, 0.08, 0.07, 0.20, 0.0007, 0.10, 0.28};

// ---- how a note begins -------------------------------------------------------------------------------

// Beside a pluck: how strong the pulse is, how many times as wide, and the place where the string is set
// moving, in parts of its sounding length. By figures; the strength is on top of the velocity, which is lower
// for these already, see performance.hpp.
struct Touch {
  double strength;
  double width;
  double place;
  double noise;
};
inline constexpr Touch hammer_touch{0.75, 2.2, 0.42, 0.15};
inline constexpr Touch pull_touch{0.85, 1.6, 0.30, 0.5};
inline constexpr Touch slide_touch{0.14, 3.0, 0.40, 0.5};
// Of a chime and of a dead note, the place apart, which is the pick's.
inline constexpr double chime_width = 1.6;
inline constexpr double chime_strength = 0.9;
inline constexpr double dead_width = 2.0;
inline constexpr double dead_noise = 2.0;

// What a string did before it is struck again fades out in this time.
inline constexpr double fade_seconds = 0.006;
// The pitch moves to that of a hammered or pulled note, and back into the next, in this time.
inline constexpr double move_seconds = 0.004;

// ---- head and bridge -----------------------------------------------------------------------------------

// A resonance of head and bridge beside what the strings do by themselves.
struct Resonance {
  double hz;
  double q;
  double gain;
};
// The head: modes of a circular membrane stand as 1 : 1.59 : 2.14 : 2.30 (the zeros of Bessel functions, in
// any textbook of acoustics); that the lowest of a tight 11-inch head lies near 300 Hz, and that the bridge
// makes a broad hill above 2 kHz, is from memory of papers on the acoustics of the banjo; q and gain are by
// figures.
inline constexpr std::array<Resonance, 5> body_resonances{
    {{290, 5, 1.3}, {461, 7, 0.9}, {621, 7, 0.7}, {1150, 2.5, 0.7}, {2600, 1.2, 1.5}}};
// A head passes on what it gets over a millisecond or two, low and high at other times: all-pass filters, by
// figures. What is heard keeps its spectrum and has its peaks 5 dB lower, so that it can be as loud as other
// music.
inline constexpr std::array<double, 6> body_spread_hz{300, 600, 1200, 2400, 4800, 9000};
inline constexpr double body_spread_q = 1;
inline constexpr double body_direct = 0.55;
// A head this small gives off little sound below its lowest mode.
inline constexpr double body_low_cut_hz = 150;
inline constexpr double body_level = 0.5;

// ---- click ---------------------------------------------------------------------------------------------

inline constexpr double click_hz = 1300;
inline constexpr double click_accent_hz = 1950;  // a fifth higher
inline constexpr double click_q = 9;
inline constexpr double click_noise_seconds = 0.002;
inline constexpr double click_level = 1.2;
inline constexpr double click_accent_level = 1.9;
inline constexpr double click_seconds = 0.12;  // then it is over

}  // namespace fifthpeg::audio
