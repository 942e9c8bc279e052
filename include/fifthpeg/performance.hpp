// What sounds when: the score as it is played, repeats and jumps carried out, for whatever makes sound of it
// or follows it on a page. It knows no file format.
//
// Times are counted in ticks from the start of the piece; a tick is an exact fraction of a whole note,
// Performance::tick, so fine that every written time of the score is a whole number of ticks. Where the first
// measure is a pickup that swing counts from its barline, the piece starts with the rest before it.
//
// Lengths (all in written time):
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
// quarter of its length; two notes are struck together. Swung pairs are played long-short (from memory, as
// are the figures here).
//
// A note is as loud as the dynamic mark in force says, louder with an accent, softer where the fret hand
// sounds it. Where any note is the melody, see Role, those of melody, lick and kick-off are at least 20 of
// velocity above those of fill, drone and backup that have the same mark and accent.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "fifthpeg/fraction.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg {

struct PerformOptions {
  bool unfold_repeats = true;  // false: each measure once, as written
  // Strings sound by themselves. False: a pitch sounds once at a time, as on a single MIDI channel.
  bool strings_apart = true;
  // 0: as many as make every written time exact, a multiple of 480. Where that would be more than 2^24, and
  // where another number is asked for, times are rounded to the nearest tick.
  int ticks_per_quarter = 0;
};

// A string bent while it sounds.
struct Bend {
  enum class Kind : std::int8_t { slide, choke } kind = Kind::slide;
  int cents = 0;         // how far at its end; negative downwards
  bool before = false;   // see Choke
  bool release = false;  // see Choke
  std::int32_t pass = 1;
  std::size_t measure = 0;  // where it is written
  std::size_t stroke = 0;
};

struct SoundedNote {
  std::int64_t start = 0;  // ticks
  std::int64_t end = 0;
  std::size_t measure = 0;    // index into Score::measures: where it is struck
  std::uint32_t stroke = 0;   // index into Measure::strokes
  std::uint32_t note = 0;     // index into Stroke::notes
  std::int32_t pass = 1;      // how many times its measure has been played so far, this one included
  std::int32_t bend = -1;     // index into Performance::bends, or none
  std::uint8_t midi = 0;      // its pitch
  std::uint8_t velocity = 0;  // how loud: 1 to 127, mezzo forte is 80
  std::int8_t string = 0;     // 1 to 5; 0 where the note has no placement
};

// A pitch on its way, in a straight line.
struct Glide {
  std::int64_t from = 0;  // ticks
  std::int64_t to = 0;
  int cents_from = 0;  // from the pitch of the note
  int cents_to = 0;
};

// A click of a metronome.
struct Click {
  std::size_t measure = 0;  // index into Score::measures
  Fraction at;              // from the start of the measure
  bool accent = false;      // as on the first beat
};

struct SungSyllable {
  std::int64_t start = 0;  // ticks
  std::size_t measure = 0, stroke = 0, lyric = 0;
};

// One playing of a measure.
struct PlayedMeasure {
  std::size_t measure = 0;
  std::int32_t pass = 1;
  std::int64_t start = 0;  // ticks
  std::int64_t end = 0;
};

struct PlayedTempo {
  std::int64_t start = 0;  // ticks
  Fraction quarters_per_minute{120};
  double seconds = 0.0;  // when it begins
};

// What is written and cannot be heard; each once, however often it is played.
struct Unheard {
  enum class Kind : std::int8_t {
    pitch,     // below MIDI number 0 or above 127
    slide,     // leads nowhere
    let_ring,  // its note sounds no longer than it is written
  } kind = Kind::pitch;
  std::size_t measure = 0;
  std::size_t stroke = 0;
};

struct Performance {
  Fraction tick{1, 1920};          // in whole notes
  std::vector<SoundedNote> notes;  // in order of start
  std::vector<Bend> bends;
  std::vector<SungSyllable> syllables;  // in order of start
  std::vector<PlayedMeasure> measures;  // in the order they are played
  std::vector<PlayedTempo> tempos;      // in order; the first one at 0
  std::vector<Unheard> unheard;
  bool repeats_ignored = false;  // they would never end; see PlayingOrder::bounded

  Fraction whole_notes(std::int64_t ticks) const { return tick * ticks; }
  double seconds(std::int64_t ticks) const;
};

// The score must be sound, see flaws(). Throws TimeError for one that is longer than 2^52 ticks, and
// UsageError for ticks that cannot be.
Performance perform(const Score& score, const PerformOptions& options = {});

// How the pitch of a bent note moves: in the last third of it a slide, up to an eighth long; a choke is
// pushed in the first half, up to an eighth, and let down in the last quarter (from memory). Empty of a note
// that is not bent. One that is choked before it is struck is held by a glide from its start on.
std::vector<Glide> glides_of(const Performance& performance, const SoundedNote& note);

// When clicks are heard, in ticks of the performance of a score, in order; each time their measures are
// played.
struct HeardClick {
  std::int64_t start = 0;  // ticks
  bool accent = false;
};
std::vector<HeardClick> heard(const std::vector<Click>& clicks, const Performance& performance);

}  // namespace fifthpeg
