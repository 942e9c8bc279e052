// Sound: what a performance sounds like on a banjo, as samples; audio_file.hpp writes them. The strings are a
// model (src/formats/audio/string_voice.hpp), the same in C++ here and in JavaScript for pages
// (src/formats/page/plucked_string.js): what is asked of it is a Sounding, a plain list in seconds.
// Equal input gives equal samples.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "fifthpeg/performance.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg {

// A part that sounds, by its sort of strings.
enum class SoundPart : std::int8_t { banjo, bass, chords };

// How a note begins: struck by the picking hand; or on a string that sounds, by a finger that falls on it,
// that plucks it as it leaves, or that arrives at it in a slide.
enum class Begin : std::int8_t { pluck, hammer, pull, slide };

// How a note ends. open: rings on as its string does. lift: the finger leaves the string, which rings on for
// a moment. stop: a hand lies down on the string.
enum class Stop : std::int8_t { open, lift, stop };

// A pitch on its way, in a straight line of cents over time.
struct SoundedGlide {
  double from = 0;  // seconds
  double to = 0;
  int cents_from = 0;  // from the pitch of the note
  int cents_to = 0;
};

struct SoundedString {
  double start = 0;  // seconds
  double end = 0;    // when it stops, as `stop` says, if its string is not struck before
  SoundPart part = SoundPart::banjo;
  // One note at a time sounds on it. The banjo's have their numbers, 1 to 5; notes without a placement are
  // given to strings from 6 on.
  std::int8_t string = 1;
  std::int8_t midi = 60;
  std::uint8_t velocity = 80;
  Begin begin = Begin::pluck;
  Stop stop = Stop::lift;
  bool harmonic = false;
  bool dead = false;
  // The sounding part of a string as long as the neck's: 1 open, 0.5 stopped at the 12th fret.
  double length = 1;
  std::vector<SoundedGlide> glides;  // in order of time
};

struct SoundedClick {
  double start = 0;  // seconds
  bool accent = false;
};

struct Sounding {
  std::vector<SoundedString> strings;  // in order of start
  std::vector<SoundedClick> clicks;    // in order of start
  double seconds = 0;                  // how long the music is; what rings then may ring on
};

// What sounds of a performance of the score, all that it plays, at its tempos.
Sounding sounding(const Score& score, const Performance& performance);
// With what goes with it; see Practice. The backing has the score's measures, and is heard as plucked bass
// and chords: the first of it as the bass, others as chords.
Sounding sounding(const Score& score, std::span<const Score> backing, const std::vector<Click>& clicks);

inline constexpr int sample_rate = 44'100;
// The samples of the model, as loud as it is: a single note of mezzo forte peaks at about 0.2. With the last
// notes' ringing out, of two seconds at most.
std::vector<float> render(const Sounding& sounding);

// Loudness in LUFS by ITU-R BS.1770-5, of one channel, gated; -infinity of silence, and of less than 0.4 s.
double loudness(std::span<const float> samples, int rate = sample_rate);

}  // namespace fifthpeg
