// Practice: music as a student wants it to play along with. Slowly first, several times, counted in.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "fifthpeg/performance.hpp"
#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg {

// Measures by their printed numbers, both ends included.
struct MeasureRange {
  std::string first;
  std::string last;
};

struct PracticeOptions {
  std::vector<int> speeds{100};  // in percent of the tempo, one after the other
  int times = 1;                 // each speed
  int count_in = 1;      // measures, before each speed; before a pickup also what is missing of its own
  bool click = false;    // on every beat; the count-in always clicks
  bool backing = false;  // a plain accompaniment from the chord symbols
  bool swing = false;    // eighths are played long-short, also where the score does not say so
  std::optional<MeasureRange> measures;
};

inline constexpr int slowest_practice = 10;   // percent
inline constexpr int fastest_practice = 300;  // percent

struct Practice {
  // The score with its repeats carried out, once for each time that it is played, with count-ins and tempos.
  // Where a time begins stands a rehearsal mark that names speed and time: "65 %, 2 of 4".
  Score score;
  // Bass and chords, for the score's measures; none where they were not asked for.
  std::vector<Score> backing;
  std::vector<Click> clicks;
  // A tempo that had to be chosen ("practice-tempo"), chord symbols that have no chord.
  Report report;
};

// The tempo where the score states none, in quarter notes a minute: what performances and MIDI files have
// then.
inline constexpr int practice_tempo = 120;

// The score must be sound, see flaws(). UsageError for options that cannot be, for measures that are not
// there
// ("no-such-measure"), and for music that is too long then ("too-long"); UnplayableError "no-chords" where
// backing has no chord symbols to follow.
Practice practice(const Score& score, const PracticeOptions& options);

// The General MIDI programs of `backing`, counted from 0: acoustic bass, steel guitar.
std::vector<int> backing_programs();

}  // namespace fifthpeg
