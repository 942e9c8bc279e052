// The score as it is played: every note struck once, with its ticks, loudness and channel, and the bends.
//
// Lengths (all in written time, before the resolution):
//   natural   the written length, ties joined
//   let ring  until the string is picked again (without a placement: until the pitch is), at most to the end
//             of the measure after the one in which it was struck
//   damp      half of the written length is cut off, at most a sixteenth
//   staccato  half of the written length
// A note that slides on sounds until the slide arrives, whatever else stands at it.
// Grace notes take their time from before the beat: 1/44 or 60 ms each, at most a quarter of the stroke
// before them each and half of it together, and never so that they begin on a thirty-second or a triplet
// sixteenth, where a written note might. Where nothing stands before them they take it from the note that
// they lead to. A brush of three notes or more is spread by 15 ms from string to string, at most over a
// quarter of its length; two notes are struck together.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "fifthpeg/score.hpp"
#include "performance/clock.hpp"

namespace fifthpeg::performance {

// A pitch bend over a note.
struct Bend {
  enum class Kind : std::int8_t { slide, choke } kind = Kind::slide;
  int cents = 0;
  bool before = false;   // see Choke
  bool release = false;  // see Choke
  // Where it is written, for what is told, and whether it is played there for the first time.
  std::size_t measure = 0;
  Fraction onset;
  bool first_pass = true;
};

struct Sounding {
  std::int64_t start = 0;  // ticks
  std::int64_t end = 0;
  std::int32_t bend = -1;  // into Performance::bends, or none
  std::uint8_t channel = 0;
  std::uint8_t key = 0;
  std::uint8_t velocity = 0;
};

struct SungSyllable {
  std::int64_t tick = 0;
  const Lyric* lyric = nullptr;
};

struct Performance {
  std::vector<Sounding> notes;  // in order of start
  std::vector<Bend> bends;
  std::vector<SungSyllable> syllables;  // in order of tick
};

// Channels, counted from 0.
inline constexpr unsigned common_channel = 0;
inline constexpr unsigned unplaced_channel = 5;  // channel per string: notes without a string
inline constexpr unsigned channel_count = 6;

// The bend range set by registered parameter 0, in half steps to either side: an octave, room for any slide
// that a hand makes.
inline constexpr int bend_range = 12;

// Tells what cannot sound: pitches outside of MIDI, slides that lead nowhere or too far.
Performance perform(const Score& score, const Clock& clock, bool channel_per_string, Report& report);

// The syllable under a stroke when its measure is played for the nth time, or nothing: the verse with that
// number, or the first one there.
const Lyric* sung(const Stroke& stroke, int pass);

// The loudness that a dynamic mark asks for, as a note-on velocity (common practice: equal steps about mezzo
// forte), or 0 where the mark is none of these.
int velocity_of(const std::string& dynamics);

}  // namespace fifthpeg::performance
