// Ticks to note values: every resolution, subdivisions, played files, swing, pickups, grace notes, brushes.
#include <cmath>
#include <gtest/gtest.h>
#include <random>
#include <string>

#include "fifthpeg/errors.hpp"
#include "formats/midi/reader/support.hpp"
#include "tried.hpp"

namespace {

using fifthpeg::Brush;
using fifthpeg::Fraction;
using fifthpeg::Grace;
using fifthpeg::Measure;
using fifthpeg::Reading;
using fifthpeg::ReadOptions;
using fifthpeg::Score;
using fifthpeg::Stroke;
using fifthpeg::UsageError;
using namespace smf_bytes;

// Durations that follow one another; the nearest tick for each border, as notation programs do it.
Track rhythm(const std::vector<Fraction>& durations, int ticks_per_quarter) {
  Track track;
  Fraction now;
  int n = 0;
  const auto tick = [&](Fraction at) { return std::llround(at.to_double() * 4 * ticks_per_quarter); };
  for (const Fraction duration : durations) {
    track.note(tick(now), tick(now + duration) - tick(now), 60 + 2 * (n++ % 5));
    now += duration;
  }
  return track;
}

// The sounding lengths of a score, ties joined.
std::vector<Fraction> durations_of(const Reading& reading) {
  std::vector<Fraction> result;
  for (const Measure& measure : reading.score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      if (stroke.is_rest() || stroke.grace != Grace::none) continue;
      if (stroke.notes.front().tied_from_previous) {
        result.back() += stroke.duration;
      } else {
        result.push_back(stroke.duration);
      }
    }
  }
  return result;
}

const std::vector<Fraction> mixed{
    // quarters, eighths, sixteenths, dotted
    {1, 4},
    {1, 8},
    {1, 8},
    {1, 16},
    {1, 16},
    {1, 16},
    {1, 16},
    {3, 16},
    {1, 16},
    // eighth triplets, sixteenth triplets in half a beat, a triplet with a quarter in it
    {1, 12},
    {1, 12},
    {1, 12},
    {1, 24},
    {1, 24},
    {1, 24},
    {1, 8},
    {1, 6},
    {1, 12},
    {1, 12},
    {1, 6},
    // quarter triplets over two beats, a half note
    {1, 6},
    {1, 6},
    {1, 6},
    {1, 2},
    // a note over the barline, thirty-seconds
    {3, 4},
    {1, 2},
    {1, 32},
    {1, 32},
    {1, 32},
    {1, 32},
    {1, 8},
    {1, 2}};

class Resolution : public ::testing::TestWithParam<int> {};

TEST_P(Resolution, IsExactOnWhatNotationProgramsWrite) {
  const Reading reading = read_sound(file(0, GetParam(), {rhythm(mixed, GetParam()).tempo(0, 500'000)}));
  EXPECT_EQ(durations_of(reading), mixed);
  EXPECT_EQ(reading.inventory.residual, 0.0);
  EXPECT_EQ(told(reading.report, "midi-quantized"), 0U);
  EXPECT_TRUE(printable(reading.score));
  EXPECT_TRUE(tuplets_close(reading.score));
}

TEST_P(Resolution, IsExactInCompoundMeter) {
  const std::vector<Fraction> jig{{1, 8},  {1, 8},  {1, 8},  {1, 4},  {1, 8},  {3, 8},
                                  {1, 16}, {1, 16}, {1, 16}, {1, 16}, {1, 16}, {1, 16},
                                  {3, 4},  {1, 8},  {1, 16}, {1, 16}, {1, 8},  {3, 8}};
  const Reading reading =
      read_sound(file(0, GetParam(), {rhythm(jig, GetParam()).meter(0, 6, 3).tempo(0, 400'000)}));
  EXPECT_EQ(durations_of(reading), jig);
  EXPECT_TRUE(printable(reading.score));
  for (const Measure& measure : reading.score.measures) {
    for (const Stroke& stroke : measure.strokes) EXPECT_TRUE(stroke.tuplets.empty());
  }
}

INSTANTIATE_TEST_SUITE_P(Usual, Resolution,
                         ::testing::Values(96, 120, 192, 240, 384, 441, 480, 768, 960, 1000, 1024, 1920, 3840,
                                           10080, 15360));

TEST(MidiRhythm, QuintupletsAndSeptuplets) {
  std::vector<Fraction> odd;
  for (int i = 0; i < 5; ++i) odd.emplace_back(1, 20);
  for (int i = 0; i < 7; ++i) odd.emplace_back(1, 28);
  odd.emplace_back(1, 2);
  const Reading reading = read_sound(file(0, 3360, {rhythm(odd, 3360)}));
  EXPECT_EQ(durations_of(reading), odd);
  const auto& strokes = reading.score.measures[0].strokes;
  EXPECT_EQ(strokes[0].tuplets, (std::vector<fifthpeg::Tuplet>{{5, 4, true, false}}));
  EXPECT_EQ(strokes[4].tuplets, (std::vector<fifthpeg::Tuplet>{{5, 4, false, true}}));
  EXPECT_EQ(strokes[5].tuplets, (std::vector<fifthpeg::Tuplet>{{7, 4, true, false}}));
}

TEST(MidiRhythm, TripletGroups) {
  // Three eighths in a beat; three quarters over two beats; three sixteenths in half a beat.
  const std::vector<Fraction> triplets{{1, 12}, {1, 12}, {1, 12}, {1, 4},  {1, 6}, {1, 6},
                                       {1, 6},  {1, 24}, {1, 24}, {1, 24}, {1, 8}, {3, 4}};
  const Reading reading = read_sound(file(0, 480, {rhythm(triplets, 480)}));
  const auto& first = reading.score.measures[0].strokes;
  ASSERT_EQ(first.size(), 7U);
  EXPECT_EQ(first[0].tuplets, (std::vector<fifthpeg::Tuplet>{{3, 2, true, false}}));
  EXPECT_EQ(first[2].tuplets, (std::vector<fifthpeg::Tuplet>{{3, 2, false, true}}));
  EXPECT_TRUE(first[3].tuplets.empty());
  EXPECT_EQ(first[4].tuplets, (std::vector<fifthpeg::Tuplet>{{3, 2, true, false}}));
  EXPECT_EQ(first[6].tuplets, (std::vector<fifthpeg::Tuplet>{{3, 2, false, true}}));
  const auto& second = reading.score.measures[1].strokes;
  EXPECT_EQ(second[0].tuplets, (std::vector<fifthpeg::Tuplet>{{3, 2, true, false}}));
  EXPECT_EQ(second[2].tuplets, (std::vector<fifthpeg::Tuplet>{{3, 2, false, true}}));
  EXPECT_TRUE(second[3].tuplets.empty());
}

// Three or five notes in the time of a quarter: at the beginning of a dotted quarter, at its end, across it;
// beside sixteenths; and three in the time of an eighth before a plain quarter.
TEST(MidiRhythm, TupletsInCompoundMeter) {
  const Fraction three(1, 12);
  const Fraction five(1, 20);
  const std::vector<Fraction> notes{
      three,   three,   three,   {1, 8}, {1, 8}, three,   three,   three,    // measure 1
      {1, 4},  three,   three,   three,  {1, 4},                             // 2: across
      five,    five,    five,    five,   five,   {1, 16}, {1, 16}, {3, 8},   // 3
      {1, 24}, {1, 24}, {1, 24}, {1, 4}, {1, 4}, {1, 24}, {1, 24}, {1, 24},  // 4
      {1, 6},  three,   {1, 8},  {1, 8}, three,  {1, 6},                     // 5
  };
  Track track = rhythm(notes, 480);
  const Reading reading = read_sound(file(0, 480, {track.meter(0, 6, 3)}));
  EXPECT_EQ(durations_of(reading), notes);
  EXPECT_TRUE(tuplets_close(reading.score));
  EXPECT_TRUE(printable(reading.score));
  std::vector<std::string> groups;
  for (const Measure& measure : reading.score.measures) {
    std::string found;
    for (const Stroke& stroke : measure.strokes) {
      EXPECT_FALSE(stroke.notes.front().tied_to_next);
      for (const fifthpeg::Tuplet& tuplet : stroke.tuplets) {
        if (tuplet.starts)
          found += " " + to_string(stroke.onset) + " " + std::to_string(tuplet.actual) + ":" +
                   std::to_string(tuplet.normal);
        if (tuplet.stops) found += " to " + to_string(stroke.onset + stroke.duration);
      }
    }
    groups.push_back(found);
  }
  EXPECT_EQ(groups,
            (std::vector<std::string>{" 0 3:2 to 1/4 1/2 3:2 to 3/4", " 1/4 3:2 to 1/2", " 0 5:4 to 1/4",
                                      " 0 3:2 to 1/8 5/8 3:2 to 3/4", " 0 3:2 to 1/4 1/2 3:2 to 3/4"}));
}

TEST(MidiRhythm, ARestInATupletOfCompoundMeter) {
  Track track;
  track.meter(0, 6, 3).key(0, 0);
  track.note(160, 160, 60).note(320, 160, 62).note(480, 240, 64).note(720, 720, 60);
  EXPECT_EQ(text(read_sound(file(0, 480, {track})).score.measures[0]),
            "0 1/12 r, 1/12 1/12 C4, 1/6 1/12 D4, 1/4 1/8 E4, 3/8 3/8 C4");
  // Five, four and seven in the time of the whole beat stay as they are.
  const std::vector<Fraction> whole{{3, 40}, {3, 40}, {3, 40}, {3, 40}, {3, 40}, {3, 8},
                                    {3, 32}, {3, 32}, {3, 32}, {3, 32}, {3, 8}};
  const Reading reading = read_sound(file(0, 480, {rhythm(whole, 480).meter(0, 6, 3)}));
  EXPECT_EQ(durations_of(reading), whole);
  EXPECT_EQ(reading.score.measures[0].strokes[0].tuplets,
            (std::vector<fifthpeg::Tuplet>{{5, 3, true, false}}));
  EXPECT_TRUE(reading.score.measures[1].strokes[0].tuplets.empty());
}

TEST(MidiRhythm, NoteOutOfATripletIsTied) {
  const std::vector<Fraction> crossing{
      {1, 12}, {1, 12}, {1, 3}, {1, 2}};  // the third rings on through the beat
  const Reading reading = read_sound(file(0, 480, {rhythm(crossing, 480).key(0, 0)}));
  EXPECT_EQ(durations_of(reading), crossing);
  EXPECT_EQ(text(reading.score.measures[0]),
            "0 1/12 C4, 1/12 1/12 D4, 1/6 1/12 E4>, 1/4 1/4 <E4, 1/2 1/2 F#4");
}

TEST(MidiRhythm, HeldMelodyIsTiedOverTheBarline) {
  const Reading reading = read_sound(file(0, 480, {rhythm({{1, 2}, {7, 4}, {3, 4}}, 480)}));
  EXPECT_EQ(text(reading.score.measures[0]), "0 1/2 C4, 1/2 1/2 D4>");
  EXPECT_EQ(text(reading.score.measures[1]), "0 1 <D4>");
  EXPECT_EQ(text(reading.score.measures[2]), "0 1/4 <D4, 1/4 3/4 E4");
}

TEST(MidiRhythm, ExactGapsAreRests) {
  Track track;
  track.note(0, 480, 60).note(960, 240, 62).note(1440, 480, 64);
  EXPECT_EQ(text(read_sound(file(0, 480, {track})).score.measures[0]),
            "0 1/4 C4, 1/4 1/4 r, 1/2 1/8 D4, 5/8 1/8 r, 3/4 1/4 E4");
}

TEST(MidiRhythm, GateTimesAreNoRests) {
  // Nine tenths of every note; and 20 ticks less than every note; and seven eighths, which would be a rest
  // on the grid.
  const std::vector<Fraction> notes{{1, 4}, {1, 8}, {1, 8}, {1, 4}, {1, 16}, {1, 16}, {1, 8}, {1, 2}, {1, 2}};
  for (const int kind : {0, 1, 2}) {
    Track track;
    std::int64_t now = 0;
    for (const Fraction note : notes) {
      const auto length = (note * 1920).floor();
      track.note(now, kind == 0 ? length * 9 / 10 : kind == 1 ? length - 20 : length * 7 / 8, 60);
      now += length;
    }
    const Reading reading = read_sound(file(0, 480, {track}));
    EXPECT_EQ(durations_of(reading), notes) << kind;
  }
}

// All notes but the last are of one value, so that nothing else says that the silence is no rest.
TEST(MidiRhythm, TheLastNoteHasTheGateTimeOfTheOthers) {
  std::vector<Fraction> notes(8, Fraction(1, 8));
  notes.emplace_back(1, 2);
  for (const bool ratio : {true, false}) {
    Track track;
    std::int64_t now = 0;
    for (const Fraction note : notes) {
      const auto length = (note * 1920).floor();
      track.note(now, ratio ? length * 9 / 10 : length - 25, 60);
      now += length;
    }
    EXPECT_EQ(durations_of(read_sound(file(0, 480, {track.end(now)}))), notes) << ratio;
  }
  // It is really shorter than its measure if it was.
  Track track;
  for (int i = 0; i < 8; ++i) track.note(i * 240, 216, 60 + i % 3);
  track.note(1920, 432, 60).end(3840);
  const Reading reading = read_sound(file(0, 480, {track.key(0, 0)}));
  EXPECT_EQ(text(reading.score.measures[1]), "0 1/4 C4, 1/4 3/4 r");
}

TEST(MidiRhythm, NotesThatSoundOnRing) {
  // A forward roll with every string left ringing.
  Track track;
  const int keys[8] = {55, 59, 62, 55, 59, 62, 55, 59};
  for (int i = 0; i < 8; ++i) track.note(i * 240, 700, keys[i]);
  const Reading reading = read_sound(file(0, 480, {track}));
  EXPECT_EQ(reading.score.measures[0].strokes.size(), 8U);
  for (std::size_t i = 0; i < 7; ++i) {
    EXPECT_EQ(reading.score.measures[0].strokes[i].duration, Fraction(1, 8));
    EXPECT_EQ(reading.score.measures[0].strokes[i].notes[0].ring, fifthpeg::Ring::let_ring);
  }
  EXPECT_EQ(told(reading.report, "midi-let-ring"), 7U);
  // A little legato is no ringing on.
  Track legato;
  for (int i = 0; i < 8; ++i) legato.note(i * 240, 260, keys[i]);
  EXPECT_EQ(told(read_sound(file(0, 480, {legato})).report, "midi-let-ring"), 0U);
}

TEST(MidiRhythm, ShorterNotesOfAChordAreTold) {
  Track track;
  track.note(0, 1920, 60).note(0, 480, 64);
  const Reading reading = read_sound(file(0, 480, {track}));
  EXPECT_EQ(text(reading.score.measures[0]), "0 1 E4+C4");
  EXPECT_EQ(told(reading.report, "midi-shorter-note"), 1U);
}

TEST(MidiRhythm, ForcedGrid) {
  ReadOptions options;
  options.grid = Fraction(1, 16);
  Track track;
  track.note(0, 470, 60).note(500, 110, 62).note(590, 300, 64).note(970, 900, 65);
  EXPECT_EQ(text(read_sound(file(0, 480, {track}), options).score.measures[0]),
            "0 1/4 C4, 1/4 1/16 D4, 5/16 3/16 E4, 1/2 1/2 F4");
  options.grid = Fraction(1, 24);
  const std::vector<Fraction> triplets{{1, 12}, {1, 12}, {1, 12}, {1, 4}, {1, 2}};
  const Reading reading = read_sound(file(0, 480, {rhythm(triplets, 480)}), options);
  EXPECT_EQ(durations_of(reading), triplets);
  EXPECT_TRUE(printable(reading.score));
}

// Whatever step may be asked for can be printed: all of its points in a measure, and some of them.
TEST(MidiRhythm, EveryGridThatIsTaken) {
  std::mt19937 random(7);
  std::vector<std::int64_t> taken;
  for (std::int64_t den = 1; den <= 1100; ++den) {
    if (!fifthpeg::is_grid_step({1, den})) continue;
    taken.push_back(den);
    const auto ticks_per_quarter = static_cast<int>(den * 4);  // a step is 16 ticks
    ReadOptions options;
    options.grid = Fraction(1, den);
    for (const int most_steps : {1, 7}) {
      Track track;
      std::uniform_int_distribution<std::int64_t> steps(1, most_steps);
      for (std::int64_t at = 0; at < den;) {
        const std::int64_t next = std::min(den, at + steps(random));
        track.note(at * 16, (next - at) * 16, 62);
        at = next;
      }
      const Score score = read_sound(file(0, ticks_per_quarter, {track}), options).score;
      EXPECT_TRUE(printable(score)) << den << ", up to " << most_steps;
      EXPECT_TRUE(tuplets_close(score)) << den;
    }
  }
  const std::vector<std::int64_t> first{1, 2, 4, 6, 8, 12, 16, 20, 24, 28, 32, 36, 40, 48};
  ASSERT_GE(taken.size(), first.size());
  EXPECT_TRUE(std::equal(first.begin(), first.end(), taken.begin()));
  EXPECT_EQ(taken.back(), 512);
  EXPECT_FALSE(fifthpeg::is_grid_step(0) || fifthpeg::is_grid_step({-1, 8}) ||
               fifthpeg::is_grid_step({3, 8}) || fifthpeg::is_grid_step(2));
  ReadOptions septuplets;
  septuplets.grid = Fraction(1, 7);
  Track track;
  track.note(0, 480, 62);
  EXPECT_THROW(fifthpeg::read_midi(file(0, 480, {track}), septuplets), UsageError);
}

// ---- played files ----------------------------------------------------------------------------------

struct Played {
  Track track;
  std::vector<Fraction> onsets;
};

// Every border moved by up to `ms`, evenly spread, at 110 quarter notes a minute.
Played played(const std::vector<Fraction>& durations, double ms, unsigned seed) {
  constexpr double ticks_per_ms = 480 * 110 / 60000.0;
  std::mt19937 random(seed);
  std::uniform_real_distribution<double> jitter(-ms, ms);
  Played result;
  Fraction now;
  int n = 0;
  for (const Fraction duration : durations) {
    const double on = now.to_double() * 1920 + jitter(random) * ticks_per_ms;
    const double length = duration.to_double() * 1920 * 0.9;
    result.track.note(std::max<std::int64_t>(0, std::llround(on)), std::llround(length), 60 + 2 * (n++ % 5));
    result.onsets.push_back(now);
    now += duration;
  }
  result.track.tempo(0, 545'455);
  return result;
}

// The share of notes that were put where they belong.
double share_right(const Reading& reading, const std::vector<Fraction>& onsets) {
  std::vector<Fraction> found;
  Fraction start;
  for (const Measure& measure : reading.score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      if (stroke.is_rest() || stroke.notes.front().tied_from_previous) continue;
      for (std::size_t i = 0; i < stroke.notes.size(); ++i) found.push_back(start + stroke.onset);
    }
    start += measure.length;
  }
  if (found.size() != onsets.size()) return 0.0;
  std::size_t right = 0;
  for (std::size_t i = 0; i < found.size(); ++i) right += found[i] == onsets[i] ? 1 : 0;
  return static_cast<double>(right) / static_cast<double>(onsets.size());
}

std::vector<Fraction> tune(bool triplets, unsigned seed) {
  std::mt19937 random(seed);
  std::vector<Fraction> result;
  for (int beat = 0; beat < 128; ++beat) {
    switch (random() % (triplets ? 5 : 4)) {
      case 0:
        result.emplace_back(1, 4);
        break;
      case 1:
        for (int i = 0; i < 2; ++i) result.emplace_back(1, 8);
        break;
      case 2:
        for (int i = 0; i < 4; ++i) result.emplace_back(1, 16);
        break;
      case 3:
        result.insert(result.end(), {{1, 8}, {1, 16}, {1, 16}});
        break;
      default:
        for (int i = 0; i < 3; ++i) result.emplace_back(1, 12);
    }
  }
  return result;
}

TEST(MidiPlayed, SixteenthsWithJitter) {
  for (const auto& [ms, least] : {std::pair{10.0, 1.0}, {20.0, 0.995}, {30.0, 0.97}}) {
    for (const unsigned seed : {1U, 2U, 3U}) {
      const auto durations = tune(false, seed);
      const Played performance = played(durations, ms, seed + 10);
      const Reading reading = read_sound(file(0, 480, {performance.track}));
      EXPECT_GE(share_right(reading, performance.onsets), least) << ms << " ms, seed " << seed;
      EXPECT_GT(reading.inventory.residual, 0.0);
      // Evenly spread over +-ms, the mean distance is half of that.
      EXPECT_NEAR(reading.inventory.residual * 4 * 545.455, ms / 2, ms / 8 + 0.5);
      EXPECT_EQ(told(reading.report, "midi-quantized"), 1U);
      EXPECT_TRUE(printable(reading.score));
    }
  }
}

TEST(MidiPlayed, TripletsAmongSixteenthsWithJitter) {
  for (const auto& [ms, least] : {std::pair{10.0, 0.99}, {20.0, 0.95}, {30.0, 0.85}}) {
    for (const unsigned seed : {1U, 2U, 3U}) {
      const Played performance = played(tune(true, seed), ms, seed + 20);
      const Reading reading = read_sound(file(0, 480, {performance.track}));
      EXPECT_GE(share_right(reading, performance.onsets), least) << ms << " ms, seed " << seed;
      EXPECT_TRUE(printable(reading.score));
      EXPECT_TRUE(tuplets_close(reading.score));
    }
  }
}

TEST(MidiPlayed, NoTinyRests) {
  const Played performance = played(tune(false, 7), 15.0, 70);
  const Reading reading = read_sound(file(0, 480, {performance.track}));
  std::size_t rests = 0;
  for (const Measure& measure : reading.score.measures) {
    for (const Stroke& stroke : measure.strokes) rests += stroke.is_rest() ? 1 : 0;
  }
  EXPECT_LE(rests, 1U);  // after the last note
}

// ---- strokes ---------------------------------------------------------------------------------------

TEST(MidiStrokes, NotesPlayedTogetherAreOneStroke) {
  Track track;
  track.tempo(0, 500'000);  // a tick is about 1 ms
  for (int beat = 0; beat < 4; ++beat) {
    track.note(beat * 480, 470, 55).note(beat * 480 + 9, 461, 62);
  }
  const Reading reading = read_sound(file(0, 480, {track}));
  ASSERT_EQ(reading.score.measures[0].strokes.size(), 4U);
  for (const Stroke& stroke : reading.score.measures[0].strokes) {
    EXPECT_EQ(stroke.notes.size(), 2U);
    EXPECT_EQ(stroke.brush, Brush::none);
  }
}

TEST(MidiStrokes, NotesInEvenOrderAreABrush) {
  Track track;
  track.tempo(0, 500'000);
  const int keys[4] = {50, 55, 59, 62};
  for (int i = 0; i < 4; ++i) track.note(14 * i, 960 - 14 * i, keys[i]);
  for (int i = 0; i < 4; ++i) track.note(960 + 14 * i, 960 - 14 * i, keys[3 - i]);
  const Reading reading = read_sound(file(0, 480, {track}));
  ASSERT_GE(reading.score.measures[0].strokes.size(), 2U);
  EXPECT_EQ(reading.score.measures[0].strokes[0].brush, Brush::up);
  EXPECT_EQ(reading.score.measures[0].strokes[1].brush, Brush::down);
  EXPECT_EQ(reading.score.measures[0].strokes[1].onset, Fraction(1, 2));
  EXPECT_EQ(reading.score.measures[0].strokes[1].notes.size(), 4U);
}

TEST(MidiStrokes, ShortNotesBeforeABeatAreGraceNotes) {
  Track track;
  track.tempo(0, 500'000);
  track.note(0, 480, 60).note(480, 430, 62).note(917, 43, 63).note(960, 480, 64).note(1440, 480, 60);
  const Reading reading = read_sound(file(0, 480, {track}));
  EXPECT_EQ(text(reading.score.measures[0]), "0 1/4 C4, 1/4 1/4 D4, g 1/2 1/16 Eb4, 1/2 1/4 E4, 3/4 1/4 C4");
}

// The grace note leads to a note that is let go as soon as the grace note is: it is the time to the next
// stroke that tells them apart.
TEST(MidiStrokes, AGraceNoteMayLeadToAShortSound) {
  Track track;
  track.tempo(0, 500'000);
  track.note(0, 480, 60).note(480, 430, 62).note(917, 43, 63).note(960, 50, 64).note(1440, 480, 60);
  const Measure measure = read_sound(file(0, 480, {track})).score.measures[0];
  ASSERT_GE(measure.strokes.size(), 4U);
  EXPECT_EQ(measure.strokes[2].grace, Grace::slashed);
  EXPECT_EQ(measure.strokes[3].grace, Grace::none);
  EXPECT_EQ(measure.strokes[3].onset, Fraction(1, 2));
}

// Seven notes in the time of four thirty-seconds: the first has no more time than the others, and gives none.
TEST(MidiStrokes, AQuickTupletIsNoRunOfGraceNotes) {
  for (const int ticks_per_quarter : {10080, 480, 96}) {
    std::vector<Fraction> written{{1, 4}, {1, 8}};
    written.insert(written.end(), 7, Fraction(1, 56));
    written.insert(written.end(), {{1, 4}, {1, 4}});
    Track track = rhythm(written, ticks_per_quarter);
    track.tempo(0, 500'000);
    EXPECT_EQ(durations_of(read_sound(file(0, ticks_per_quarter, {track}))), written) << ticks_per_quarter;
  }
}

// Two grace notes in the time of a sixty-fourth each: the note before them keeps most of its own.
TEST(MidiStrokes, ARunOfGraceNotesLeavesTimeToTheNoteBefore) {
  Track track;
  track.tempo(0, 500'000);
  track.note(0, 480, 60).note(480, 394, 62).note(874, 43, 63).note(917, 43, 65).note(960, 480, 64);
  track.note(1440, 480, 60);
  const Reading reading = read_sound(file(0, 480, {track}));
  EXPECT_EQ(text(reading.score.measures[0]),
            "0 1/4 C4, 1/4 1/4 D4, g 1/2 1/16 Eb4, g 1/2 1/16 F4, 1/2 1/4 E4, 3/4 1/4 C4");
}

// ---- pickup and swing ------------------------------------------------------------------------------

TEST(MidiPickup, SilenceBeforeTheFirstNote) {
  Track track;
  track.note(1440, 480, 62).note(1920, 960, 67).note(2880, 960, 71);
  const Reading reading = read_sound(file(0, 480, {track}));
  ASSERT_EQ(reading.score.measures.size(), 2U);
  EXPECT_EQ(reading.score.measures[0].number, "0");
  EXPECT_TRUE(reading.score.measures[0].implicit);
  EXPECT_EQ(reading.score.measures[0].length, Fraction(1, 4));
  EXPECT_EQ(to_string(reading.score.measures[0].meter), "4/4");
  EXPECT_EQ(text(reading.score.measures[0]), "0 1/4 D4");
  EXPECT_EQ(reading.score.measures[1].number, "1");
  EXPECT_EQ(told(reading.report, "midi-pickup"), 1U);
}

TEST(MidiPickup, ShortFirstMeter) {
  Track track;
  track.meter(0, 1, 2).meter(480, 3, 2);
  track.note(0, 480, 62).note(480, 1440, 67);
  const Reading reading = read_sound(file(0, 480, {track}));
  ASSERT_EQ(reading.score.measures.size(), 2U);
  EXPECT_TRUE(reading.score.measures[0].implicit);
  EXPECT_EQ(reading.score.measures[0].number, "0");
  EXPECT_EQ(to_string(reading.score.measures[0].meter), "3/4");
  EXPECT_EQ(reading.score.measures[0].length, Fraction(1, 4));
}

TEST(MidiPickup, LastMeasureMakesUpForALongOne) {
  // Three beats before the barline; the last measure has the one beat that is missing.
  Track track;
  track.note(480, 480, 62).note(960, 480, 64).note(1440, 480, 65).note(1920, 1920, 67).note(3840, 480, 60);
  const Reading reading = read_sound(file(0, 480, {track}));
  ASSERT_EQ(reading.score.measures.size(), 3U);
  EXPECT_TRUE(reading.score.measures[0].implicit);
  EXPECT_EQ(reading.score.measures[0].length, Fraction(3, 4));
  EXPECT_EQ(reading.score.measures[2].length, Fraction(1, 4));
}

TEST(MidiPickup, ARestIsARest) {
  Track track;
  track.note(480, 480, 62).note(960, 480, 64).note(1440, 480, 65).note(1920, 1920, 67);
  const Reading reading = read_sound(file(0, 480, {track}));
  EXPECT_FALSE(reading.score.measures[0].implicit);
  EXPECT_EQ(text(reading.score.measures[0]), "0 1/4 r, 1/4 1/4 D4, 1/2 1/4 E4, 3/4 1/4 F4");
  // Nor is it a pickup where another part plays from the beginning.
  Track late;
  late.note(1440, 480, 62).note(1920, 1920, 67);
  Track bass;
  bass.note(0, 1920, 36, 80, 1).note(1920, 1920, 36, 80, 1).name("Bass");
  EXPECT_FALSE(read_sound(file(1, 480, {late, bass})).score.measures[0].implicit);
}

// A pickup that has a meter of its own is made up for like any other.
TEST(MidiPickup, LastMeasureMakesUpForAShortFirstMeter) {
  Track track;
  track.meter(0, 1, 2).meter(480, 4, 2);
  track.note(0, 480, 62).note(480, 1920, 67).note(2400, 1440, 71);
  const Reading reading = read_sound(file(0, 480, {track}));
  ASSERT_EQ(reading.score.measures.size(), 3U);
  EXPECT_EQ(reading.score.measures[0].length, Fraction(1, 4));
  EXPECT_EQ(reading.score.measures[2].length, Fraction(3, 4));
  // Not where it does not: then there is a rest.
  Track shorter;
  shorter.meter(0, 1, 2).meter(480, 4, 2);
  shorter.note(0, 480, 62).note(480, 1920, 67).note(2400, 960, 71);
  EXPECT_EQ(read_sound(file(0, 480, {shorter})).score.measures[2].length, Fraction(1));
}

// The text event of our own files says whether there is a pickup, and how long it is.
TEST(MidiPickup, WhatTheFileStatesHolds) {
  const auto stated = [](const std::string& more) {
    Track track;
    track.meta(0, 1, "fifthpeg: tuning gDGBD capo 0 fifth-capo 5" + more);
    track.note(1440, 480, 62).note(1920, 960, 67).note(2880, 960, 71);
    return read_sound(file(0, 480, {track}));
  };
  EXPECT_FALSE(stated("").score.measures[0].implicit);
  EXPECT_EQ(told(stated("").report, "midi-pickup"), 0U);
  EXPECT_EQ(text(stated("").score.measures[0]), "0 3/4 r, 3/4 1/4 D4");
  const Reading half = stated(" pickup 1/2");
  EXPECT_TRUE(half.score.measures[0].implicit);
  EXPECT_EQ(text(half.score.measures[0]), "0 1/4 r, 1/4 1/4 D4");
  EXPECT_EQ(told(half.report, "midi-pickup"), 0U);
  // Not if that cannot be: a note before it, no number, longer than the measure.
  EXPECT_EQ(stated(" pickup 1/8").score.measures[0].length, Fraction(1, 4));
  EXPECT_EQ(stated(" pickup 1/0").score.measures[0].length, Fraction(1, 4));
  EXPECT_EQ(stated(" pickup 5/4").score.measures[0].length, Fraction(1, 4));
  EXPECT_EQ(stated(" pickup 99999999999/4").score.measures[0].length, Fraction(1, 4));
}

// A take without a click begins anywhere; whoever reads it knows where the first beat is.
TEST(MidiPickup, AsAsked) {
  const auto asked = [](Fraction pickup) {
    Track track;
    track.note(713, 480, 62).note(713 + 480, 960, 67).note(713 + 1440, 480, 71).meta(713 + 480, 5, "la");
    ReadOptions options;
    options.pickup = pickup;
    return read_sound(file(0, 480, {track}), options).score;
  };
  const Score none = asked(0);
  EXPECT_EQ(text(none.measures[0]), "0 1/4 D4, 1/4 1/2 G4, 3/4 1/4 B4");
  EXPECT_FALSE(none.measures[0].implicit);
  const Score beat = asked({1, 4});
  EXPECT_TRUE(beat.measures[0].implicit);
  EXPECT_EQ(text(beat.measures[0]), "0 1/4 D4");
  EXPECT_EQ(text(beat.measures[1]), "0 1/2 G4, 1/2 1/4 B4");  // makes up for the pickup
  EXPECT_EQ(beat.measures[1].strokes[0].lyrics.size(), 1U);   // texts move along
  const Score three = asked({3, 4});
  EXPECT_TRUE(three.measures[0].implicit);
  EXPECT_EQ(text(three.measures[0]), "0 1/4 D4, 1/4 1/2 G4");
  EXPECT_THROW(asked(1), UsageError);
  EXPECT_THROW(asked({-1, 4}), UsageError);
}

// Tempo, meter and key at the beginning go on holding from the beginning when the notes move away from them.
struct Take {
  int beats = 4, unit_power = 2;
  Fraction pickup;
  std::int64_t silence = 0;  // before the first note
  double spread_ms = 0;      // how far the onsets lie from their places, at most
  unsigned seed = 1;
};

// Eighths from the pickup on, for four full measures, at 150 quarters a minute.
Reading take(const Take& wanted) {
  Track conductor;
  conductor.meter(0, wanted.beats, wanted.unit_power).tempo(0, 400'000).key(0, 2);
  Track notes;
  std::mt19937 random(wanted.seed);
  std::uniform_real_distribution<double> spread(-wanted.spread_ms, wanted.spread_ms);
  const Fraction length = wanted.pickup + Fraction(4 * wanted.beats, std::int64_t{1} << wanted.unit_power);
  int pitch = 0;
  for (Fraction now; now < length; now += Fraction(1, 8)) {
    const std::int64_t late = wanted.spread_ms > 0 ? std::llround(spread(random) * 1.2) : 0;
    const std::int64_t on = std::max<std::int64_t>(0, wanted.silence + (now * 1920).floor() + late);
    notes.note(on, 200, 62 + pitch++ % 7);
  }
  ReadOptions options;
  options.pickup = wanted.pickup;
  return read_sound(file(1, 480, {conductor, notes}), options);
}

void expect_pickup(const Take& wanted) {
  const Reading reading = take(wanted);
  const Score& score = reading.score;
  const bool has_pickup = wanted.pickup > 0;
  ASSERT_EQ(score.measures.size(), has_pickup ? 5U : 4U);
  EXPECT_EQ(score.measures[0].implicit, has_pickup);
  EXPECT_EQ(told(reading.report, "midi-meter-inside-measure"), 0U);
  int pitch = 0;
  for (std::size_t i = 0; i < score.measures.size(); ++i) {
    const Measure& measure = score.measures[i];
    EXPECT_EQ(measure.meter.beats, std::vector<int>{wanted.beats});
    EXPECT_EQ(measure.meter.unit, 1 << wanted.unit_power);
    EXPECT_EQ(measure.key.fifths, 2);
    EXPECT_EQ(measure.tempos.size(), i == 0 ? 1U : 0U);
    EXPECT_EQ(measure.number, std::to_string(i + (has_pickup ? 0 : 1)));
    // The last measure may end with the last note, and makes up for the pickup where it does.
    if (i + 1 < score.measures.size()) {
      EXPECT_EQ(measure.length, i == 0 && has_pickup ? wanted.pickup : measure.meter.length());
    }
    Fraction now;
    for (const Stroke& stroke : measure.strokes) {
      if (stroke.is_rest()) continue;
      EXPECT_EQ(stroke.onset, now);
      EXPECT_EQ(stroke.notes.front().pitch.midi(), 62 + pitch++ % 7);
      now += Fraction(1, 8);
    }
    EXPECT_EQ(now, i == 0 && has_pickup ? wanted.pickup : measure.meter.length());
  }
  ASSERT_EQ(score.measures[0].tempos.size(), 1U);
  EXPECT_EQ(score.measures[0].tempos[0].at, Fraction(0));
  EXPECT_EQ(score.measures[0].tempos[0].quarters_per_minute, Fraction(150));
}

TEST(MidiPickup, WhatHoldsAtTheBeginningGoesOnHoldingFromThere) {
  for (const auto& [beats, power] : {std::pair{4, 2}, {3, 2}, {2, 2}, {6, 3}, {9, 3}}) {
    for (const Fraction pickup : {Fraction(0), Fraction(1, 8), Fraction(1, 4), Fraction(3, 8)}) {
      for (const std::int64_t silence : {0, 240, 480, 713, 1920, 2160, 9600}) {
        SCOPED_TRACE(testing::Message()
                     << beats << "/" << (1 << power) << " " << to_string(pickup) << " after " << silence);
        expect_pickup({beats, power, pickup, silence});
      }
    }
  }
}

// Up to 20 ms early or late, the first note like the others.
TEST(MidiPickup, OfATakeWithUnsteadyOnsets) {
  for (unsigned seed = 0; seed < fifthpeg::testing::tried(100U); ++seed) {
    for (const Fraction pickup : {Fraction(0), Fraction(1, 8), Fraction(1, 4)}) {
      for (const std::int64_t silence : {0, 480, 713}) {
        SCOPED_TRACE(testing::Message()
                     << "seed " << seed << " " << to_string(pickup) << " after " << silence);
        expect_pickup({4, 2, pickup, silence, 20, seed});
      }
    }
  }
}

// A count-in at a tempo and meter of its own, and changes later on: the pickup is counted in the meter of the
// first full measure, whether the file has a short measure for it or not.
TEST(MidiPickup, ChangesBeforeAndAfterThePickup) {
  ReadOptions options;
  options.pickup = Fraction(1, 4);
  Track track;
  track.meter(0, 2, 2).tempo(0, 600'000).key(0, -3);
  track.meter(960, 1, 2).tempo(960, 400'000).key(960, 1);  // with the pickup
  track.meter(1440, 3, 2).meter(1440 + 1440, 4, 2).tempo(1440 + 1440, 500'000).key(1440 + 1440, 3);
  track.note(960, 480, 62).note(1440, 1440, 67).note(2880, 1920, 69);
  const Reading reading = read_sound(file(0, 480, {track}), options);
  const auto& measures = reading.score.measures;
  ASSERT_EQ(measures.size(), 3U);
  EXPECT_EQ(text(measures[0]), "0 1/4 D4");
  EXPECT_EQ(text(measures[1]), "0 3/4 G4");
  EXPECT_EQ(
      to_string(measures[0].meter) + " " + to_string(measures[1].meter) + " " + to_string(measures[2].meter),
      "3/4 3/4 4/4");
  EXPECT_EQ(measures[0].key.fifths, 1);
  EXPECT_EQ(measures[2].key.fifths, 3);
  ASSERT_EQ(measures[0].tempos.size(), 1U);
  EXPECT_EQ(measures[0].tempos[0].quarters_per_minute, Fraction(150));
  EXPECT_TRUE(measures[1].tempos.empty());
  ASSERT_EQ(measures[2].tempos.size(), 1U);
  EXPECT_EQ(measures[2].tempos[0].quarters_per_minute, Fraction(120));
  EXPECT_EQ(told(reading.report, "midi-meter-inside-measure"), 0U);
  // As long as the measure is too long, and what is said names the meter.
  options.pickup = Fraction(3, 4);
  try {
    read_midi(file(0, 480, {track}), options);
    FAIL();
  } catch (const UsageError& error) {
    // Three quarters from the first note on end in the measure in 3/4.
    EXPECT_NE(std::string(error.what()).find("3/4 (in whole notes) does not fit into a first measure of 3/4"),
              std::string::npos)
        << error.what();
  }
}

TEST(MidiPickup, AShortWholeMeasureIsStatedToBeOne) {
  Track track;
  track.meta(0, 1, "fifthpeg: tuning gDGBD capo 0 fifth-capo 5").meter(0, 2, 2).meter(960, 4, 2);
  track.note(0, 960, 62).note(960, 1440, 67);
  const Reading reading = read_sound(file(0, 480, {track}));
  ASSERT_EQ(reading.score.measures.size(), 2U);
  EXPECT_FALSE(reading.score.measures[0].implicit);
  EXPECT_EQ(to_string(reading.score.measures[0].meter), "2/4");
  // Its track ends where the music does.
  EXPECT_EQ(reading.score.measures[1].length, Fraction(3, 4));
}

Track shuffle(int first, int whole, double jitter_ms, unsigned seed) {
  std::mt19937 random(seed);
  std::uniform_real_distribution<double> jitter(-jitter_ms, jitter_ms);
  Track track;
  for (int beat = 0; beat < 16; ++beat) {
    const auto moved = [&](std::int64_t tick) {
      return std::max<std::int64_t>(0, tick + std::llround(jitter(random) * 0.96));
    };
    const std::int64_t on = beat * 480;
    const std::int64_t off_beat = on + 480 * first / whole;
    if (beat % 4 == 3) {
      track.note(moved(on), 460, 67);
      continue;
    }
    track.note(moved(on), off_beat - on - 10, 60 + beat % 5)
        .note(moved(off_beat), on + 480 - off_beat - 10, 64);
  }
  return track.tempo(0, 500'000);
}

TEST(MidiSwing, TwoThirdsAreReadEven) {
  const Reading reading = read_sound(file(0, 480, {shuffle(2, 3, 0.0, 1)}));
  ASSERT_TRUE(reading.score.swing.has_value());
  EXPECT_EQ(*reading.score.swing, (fifthpeg::Swing{{1, 8}, 2, 1}));
  EXPECT_EQ(told(reading.report, "midi-swing"), 1U);
  EXPECT_EQ(reading.inventory.residual, 0.0);
  for (const Measure& measure : reading.score.measures) {
    ASSERT_EQ(measure.strokes.size(), 7U);
    for (std::size_t i = 0; i < 7; ++i) {
      EXPECT_EQ(measure.strokes[i].onset, Fraction(static_cast<std::int64_t>(i), 8));
    }
  }
}

TEST(MidiSwing, PlayedSwingIsReadEven) {
  for (const unsigned seed : {1U, 2U, 3U, 4U}) {
    const Reading reading = read_sound(file(0, 480, {shuffle(65, 100, 12.0, seed)}));
    ASSERT_TRUE(reading.score.swing.has_value()) << seed;
    for (const Measure& measure : reading.score.measures) {
      ASSERT_EQ(measure.strokes.size(), 7U) << seed;
      for (const Stroke& stroke : measure.strokes) EXPECT_TRUE((stroke.onset * 8).is_whole());
    }
  }
}

Track stated_swing() {
  Track track;
  return track.meta(0, 1, "fifthpeg: swing 1/8 2 1").key(0, 0).tempo(0, 500'000);
}

// Pairs are counted from the barline; the eighth that is left over in a measure of five is played as written.
TEST(MidiSwing, WhatIsLeftOverInAMeasureIsNoPair) {
  Track track = stated_swing().meter(0, 5, 3);
  for (int i = 0; i < 2; ++i) {
    const int at = 1200 * i;
    track.note(at, 320, 60).note(at + 320, 160, 62).note(at + 480, 320, 64).note(at + 800, 160, 65);
    // Two thirds of a quarter after it another measure has begun.
    track.note(at + 960, 120, 67).note(at + 1080, 120, 69);
  }
  const Reading reading = read_sound(file(0, 480, {track}));
  EXPECT_EQ(reading.inventory.residual, 0.0);
  for (const Measure& measure : reading.score.measures) {
    EXPECT_EQ(text(measure), "0 1/8 C4, 1/8 1/8 D4, 1/4 1/8 E4, 3/8 1/8 F4, 1/2 1/16 G4, 9/16 1/16 A4");
  }
}

// Neither a grace note nor the strings of a brush divide the pair.
TEST(MidiSwing, GraceNotesAndBrushesStandInPairs) {
  Track track = stated_swing();
  track.note(0, 277, 60).note(277, 43, 61).note(320, 160, 62);
  for (int i = 0; i < 4; ++i) track.note(480 + 14 * i, 320 - 14 * i, 50 + 5 * i);
  track.note(800, 160, 67).note(960, 960, 60);
  const Measure measure = read_sound(file(0, 480, {track})).score.measures[0];
  ASSERT_EQ(measure.strokes.size(), 6U);
  EXPECT_EQ(measure.strokes[1].grace, Grace::slashed);
  EXPECT_EQ(measure.strokes[2].onset, Fraction(1, 8));
  EXPECT_EQ(measure.strokes[3].onset, Fraction(1, 4));
  EXPECT_EQ(measure.strokes[3].brush, Brush::up);
  EXPECT_EQ(measure.strokes[3].notes.size(), 4U);
  EXPECT_EQ(measure.strokes[4].onset, Fraction(3, 8));
}

// A swing that is stated holds on a forced grid too.
TEST(MidiSwing, StatedSwingOnAForcedGrid) {
  ReadOptions options;
  options.grid = Fraction(1, 8);
  Track track = stated_swing();
  track.note(0, 320, 60).note(320, 160, 62).note(480, 320, 64).note(800, 160, 65).note(960, 960, 67);
  EXPECT_EQ(text(read_sound(file(0, 480, {track}), options).score.measures[0]),
            "0 1/8 C4, 1/8 1/8 D4, 1/4 1/8 E4, 3/8 1/8 F4, 1/2 1/2 G4");
}

TEST(MidiSwing, IsLeftAloneIfAsked) {
  ReadOptions options;
  options.straighten_swing = false;
  const Reading reading = read_sound(file(0, 480, {shuffle(2, 3, 0.0, 1)}), options);
  EXPECT_FALSE(reading.score.swing.has_value());
  EXPECT_EQ(reading.score.measures[0].strokes[1].onset, Fraction(1, 6));
}

TEST(MidiSwing, EvenEighthsAndTripletsAreNotSwung) {
  EXPECT_FALSE(read_sound(file(0, 480, {shuffle(1, 2, 0.0, 1)})).score.swing.has_value());
  std::vector<Fraction> triplets;
  for (int beat = 0; beat < 16; ++beat) {
    if (beat % 2 == 0) {
      triplets.insert(triplets.end(), {{1, 12}, {1, 12}, {1, 12}});
    } else {
      triplets.insert(triplets.end(), {{1, 6}, {1, 12}});
    }
  }
  const Reading reading = read_sound(file(0, 480, {rhythm(triplets, 480)}));
  EXPECT_FALSE(reading.score.swing.has_value());
  EXPECT_EQ(durations_of(reading), triplets);
}

}  // namespace
