// Takes that were played without a click: tunes of the fixtures, played unsteadily at a tempo that the file
// does not know.
#include <algorithm>
#include <cmath>
#include <fstream>
#include <gtest/gtest.h>
#include <iterator>
#include <map>
#include <numbers>
#include <random>
#include <string>
#include <vector>

#include "formats/midi/reader/support.hpp"

namespace {

using fifthpeg::Fraction;
using fifthpeg::Measure;
using fifthpeg::Meter;
using fifthpeg::Reading;
using fifthpeg::ReadOptions;
using fifthpeg::Score;
using fifthpeg::Stroke;
using namespace smf_bytes;

struct Sounding {
  Fraction at;  // whole notes from the first full measure
  Fraction length;
  int key = 0;
};

// What is struck, and where the first full measure begins.
std::vector<Sounding> notes_of(const Reading& reading) {
  const auto& measures = reading.score.measures;
  std::vector<Sounding> result;
  Fraction start = measures.front().implicit ? -measures.front().length : Fraction(0);
  for (const Measure& measure : measures) {
    for (const Stroke& stroke : measure.strokes) {
      for (const auto& note : stroke.notes) {
        if (!note.tied_from_previous)
          result.push_back({start + stroke.onset, stroke.duration, note.pitch.midi()});
      }
    }
    start += measure.length;
  }
  return result;
}

std::vector<Sounding> tune(const std::string& name) {
  std::ifstream file(FIXTURES "/" + name, std::ios::binary);
  return notes_of(read_sound({std::istreambuf_iterator<char>(file), {}}));
}

enum class Drift { none, faster, slower, wave };

struct Playing {
  double quarters_per_minute = 100;
  double spread_ms = 15;  // standard deviation of the onsets
  Drift drift = Drift::none;
  unsigned seed = 1;
  bool swung = false;
  double breath_s = 0;     // before what is at
  Fraction breath_at = 0;  // in whole notes
};

// Where each whole note comes, in seconds from the first note, with the tempo drifting by 10 %.
double seconds_at(double wholes, double all, const Playing& playing) {
  const double steady = wholes * 240 / playing.quarters_per_minute;
  switch (playing.drift) {
    case Drift::faster:
      return steady * (1.05 - 0.05 * wholes / all);
    case Drift::slower:
      return steady * (0.95 + 0.05 * wholes / all);
    case Drift::wave: {  // up and down every 24 seconds
      const double turn = 2 * std::numbers::pi / 24;
      return steady + 0.1 / turn * (1 - std::cos(turn * steady));
    }
    default:
      return steady;
  }
}

// As a recorder writes it: 480 ticks a quarter at 120, whatever is played.
std::string take(const std::vector<Sounding>& notes, const Playing& playing, Track track = {}) {
  std::mt19937 random(playing.seed);
  std::normal_distribution<double> spread(0, playing.spread_ms / 1000);
  std::uniform_real_distribution<double> start(0.5, 4.0);
  std::uniform_real_distribution<double> held(0.75, 0.98);
  const double first = notes.front().at.to_double();
  const double all = notes.back().at.to_double() - first;
  const double silence = start(random);
  const auto ticks = [](double seconds) { return std::llround(seconds * 960); };
  for (const Sounding& note : notes) {
    double at = note.at.to_double() - first;
    double written = note.length.to_double();
    if (playing.swung && note.length == Fraction(1, 8)) {
      const bool off_beat = !(note.at * 4).is_whole();
      at += off_beat ? 1.0 / 24 : 0;
      written += off_beat ? -1.0 / 24 : 1.0 / 24;
    }
    const double breath = note.at >= playing.breath_at ? playing.breath_s : 0;
    const double on = silence + seconds_at(at, all, playing) + breath + spread(random);
    const double length = written * 240 / playing.quarters_per_minute * held(random);
    track.note(ticks(on), std::max(1LL, ticks(length)), note.key, 60 + static_cast<int>(random() % 40));
  }
  return file(0, 480, {track.tempo(0, 500'000)});
}

struct Place {
  double on_beats = 0.0;  // share of the notes that stand where they belong from each other
  bool downbeat = false;  // and the measures begin where they do
};

// Whether eighths of the tune are eighths or sixteenths of the reading is a matter of writing; `measure` is
// what the tune's measures are long.
Place compare(const std::vector<Sounding>& wanted, const Reading& reading, Fraction measure) {
  const std::vector<Sounding> found = notes_of(reading);
  Place best;
  if (found.size() != wanted.size()) return best;
  for (const Fraction scale : {Fraction(1, 2), Fraction(1), Fraction(2)}) {
    std::map<Fraction, std::size_t> offsets;
    for (std::size_t i = 0; i < wanted.size(); ++i) ++offsets[found[i].at - wanted[i].at * scale];
    const auto most = std::max_element(offsets.begin(), offsets.end(),
                                       [](const auto& a, const auto& b) { return a.second < b.second; });
    const double share = static_cast<double>(most->second) / static_cast<double>(wanted.size());
    if (share <= best.on_beats) continue;
    const Fraction own = reading.score.measures.back().meter.length();
    const Fraction shorter = std::min(measure * scale, own);
    const bool nested = (measure * scale / own).is_whole() || (own / (measure * scale)).is_whole();
    best = {share, nested && (most->first / shorter).is_whole()};
  }
  return best;
}

double reading_tempo(const Reading& reading) {
  return reading.score.measures.front().tempos.front().quarters_per_minute.to_double();
}

struct Tune {
  std::string file;
  Fraction measure;
  double slow, fast;  // quarter notes a minute
};

TEST(MidiTake, TunesOfTheFixtures) {
  const std::vector<Tune> tunes{{"soldiers-joy.mid", {1}, 160, 220},
                                {"irish-washerwoman.mid", {3, 4}, 150, 185},
                                {"boil-them-cabbage-down.mid", {1}, 80, 120}};
  std::size_t takes = 0;
  std::size_t downbeats = 0;
  double on_beats = 0;
  unsigned seed = 0;
  for (const Tune& one : tunes) {
    const std::vector<Sounding> notes = tune(one.file);
    for (const double ms : {5.0, 15.0, 25.0}) {
      for (const Drift drift : {Drift::none, Drift::faster, Drift::slower, Drift::wave}) {
        for (const double at : {0.0, 0.4, 0.8}) {
          const Playing playing{one.slow + at * (one.fast - one.slow), ms, drift, ++seed};
          const Reading reading = read_sound(take(notes, playing));
          EXPECT_EQ(told(reading.report, "midi-take"), 1U) << one.file << ", seed " << seed;
          EXPECT_EQ(told(reading.report, "midi-no-beat"), 0U);
          EXPECT_NEAR(reading.inventory.residual * 240 / reading_tempo(reading) * 1000, 0.8 * ms, 0.5 * ms);
          const Place place = compare(notes, reading, one.measure);
          ++takes;
          on_beats += place.on_beats;
          downbeats += place.downbeat ? 1 : 0;
        }
      }
    }
  }
  ASSERT_EQ(takes, 108U);
  EXPECT_GE(on_beats / static_cast<double>(takes), 0.97);
  EXPECT_GE(static_cast<double>(downbeats) / static_cast<double>(takes), 0.9);
}

const std::vector<Sounding>& jig() {
  static const std::vector<Sounding> notes = tune("irish-washerwoman.mid");
  return notes;
}
const Playing unsteady{170, 15, Drift::wave, 5};

// Before the second pass the player waits for any time.
TEST(MidiTake, ABreathIsNoBeat) {
  for (const double beats : {0.3, 0.5, 0.8, 1.0, 1.5}) {
    for (const unsigned seed : {1U, 2U, 3U, 4U}) {
      Playing playing{165, 10, Drift::none, seed};
      playing.breath_s = beats * 1.5 * 60 / playing.quarters_per_minute;
      playing.breath_at = Fraction(8 * 3, 4) - Fraction(1, 8);
      const Reading reading = read_sound(take(jig(), playing));
      const Place place = compare(jig(), reading, {3, 4});
      EXPECT_GE(place.on_beats, 0.97) << beats << ", seed " << seed;
      EXPECT_TRUE(place.downbeat) << beats << ", seed " << seed;
      EXPECT_NEAR(reading_tempo(reading), 165, 5);
    }
  }
}

// What the player says of it outranks what is found.
TEST(MidiTake, WhatIsAskedForHolds) {
  const std::string bytes = take(jig(), unsteady);
  ReadOptions options;
  options.pickup = Fraction(1, 4);
  const Reading moved = read_sound(bytes, options);
  EXPECT_TRUE(moved.score.measures[0].implicit);
  EXPECT_EQ(moved.score.measures[0].length, Fraction(1, 4));
  EXPECT_GE(compare(jig(), moved, {3, 4}).on_beats, 0.97);
  options.pickup = Fraction(0);
  EXPECT_FALSE(read_sound(bytes, options).score.measures[0].implicit);

  ReadOptions meter;
  meter.meter = Meter{{3}, 4};
  const Reading waltz = read_sound(bytes, meter);
  EXPECT_EQ(to_string(waltz.score.measures[1].meter), "3/4");
  meter.meter = Meter{{12}, 8};
  const Reading twelve = read_sound(bytes, meter);
  EXPECT_EQ(to_string(twelve.score.measures[1].meter), "12/8");
  EXPECT_TRUE(compare(jig(), twelve, {3, 4}).downbeat);

  // Where nothing is known of such measures, the first one begins with the first note, or after the pickup.
  meter.meter = Meter{{5}, 8};
  const Reading five = read_sound(bytes, meter);
  EXPECT_EQ(told(five.report, "midi-take"), 1U);
  EXPECT_FALSE(five.score.measures[0].implicit);
  EXPECT_EQ(to_string(five.score.measures[1].meter), "5/8");
  EXPECT_GE(compare(jig(), five, {3, 4}).on_beats, 0.95);
  meter.pickup = Fraction(1, 8);
  EXPECT_EQ(read_sound(bytes, meter).score.measures[0].length, Fraction(1, 8));
  meter.pickup = Fraction(1, 5);
  EXPECT_EQ(told(read_sound(bytes, meter).report, "midi-no-beat"), 1U);

  ReadOptions grid;
  grid.grid = Fraction(1, 16);
  const std::vector<Sounding> reel = tune("soldiers-joy.mid");
  const Reading sixteenths = read_sound(take(reel, {200, 15, Drift::faster, 3}), grid);
  const Reading eighths = read_sound(take(reel, {200, 15, Drift::faster, 3}));
  EXPECT_NEAR(reading_tempo(eighths) / reading_tempo(sixteenths), 2.0, 0.05);
  EXPECT_TRUE(compare(reel, sixteenths, {1}).downbeat);
}

// The meter of the file says something unless it is the one that recorders write.
TEST(MidiTake, TheMeterOfTheFileIsKept) {
  const std::vector<Sounding> reel = tune("soldiers-joy.mid");
  Track track;
  track.meter(0, 2, 2);
  const Reading reading = read_sound(take(reel, {200, 15, Drift::slower, 3}, track));
  EXPECT_EQ(to_string(reading.score.measures[1].meter), "2/4");
  EXPECT_TRUE(compare(reel, reading, {1}).downbeat);
}

TEST(MidiTake, BeatsOfTheFileAreKeptWhereTheyAreGood) {
  ReadOptions options;
  options.keep_beats = true;
  EXPECT_EQ(told(read_sound(take(jig(), unsteady), options).report, "midi-take"), 0U);
  // Played to the click of the file, from its beginning on.
  std::mt19937 random(4);
  std::normal_distribution<double> spread(0, 15 * 0.96);
  Track track;
  track.meter(0, 6, 3).tempo(0, 500'000);
  for (const Sounding& note : jig()) {
    const double at = (note.at + Fraction(3, 4)).to_double() * 1920 + spread(random);
    track.note(std::llround(at), 200, note.key);
  }
  const Reading clicked = read_sound(file(0, 480, {track}));
  EXPECT_EQ(told(clicked.report, "midi-take"), 0U);
  EXPECT_EQ(told(clicked.report, "midi-quantized"), 1U);
  EXPECT_TRUE(compare(jig(), clicked, {3, 4}).downbeat);
}

TEST(MidiTake, SwungEighths) {
  const std::vector<Sounding> reel = tune("soldiers-joy.mid");
  for (const unsigned seed : {1U, 2U, 3U, 4U, 5U}) {
    Playing playing{170, 12, Drift::wave, seed};
    playing.swung = true;
    const Reading reading = read_sound(take(reel, playing));
    ASSERT_TRUE(reading.score.swing.has_value()) << seed;
    const Place place = compare(reel, reading, {1});
    EXPECT_GE(place.on_beats, 0.97) << seed;
    EXPECT_TRUE(place.downbeat) << seed;
    for (const Measure& measure : reading.score.measures) {
      for (const Stroke& stroke : measure.strokes) {
        EXPECT_TRUE((stroke.onset * 16).is_whole() && stroke.duration >= Fraction(1, 16)) << text(measure);
      }
    }
  }
}

// Notes at random: nothing but their loudness says where a measure begins.
TEST(MidiTake, AccentsSayWhereMeasuresBegin) {
  for (const int before : {0, 1, 2, 3}) {
    std::mt19937 random(static_cast<unsigned>(before + 11));
    std::normal_distribution<double> spread(0, 0.010);
    Track track;
    for (int i = 0; i < 96; ++i) {
      const double on = 1.3 + i * 0.142 * (1 + i * 0.0005) + spread(random);
      const int velocity = (i - before) % 8 == 0 ? 100 : (i - before) % 4 == 0 ? 85 : 70;
      const int key = 62 + static_cast<int>(random() % 8);
      track.note(std::llround(on * 960), 120, key, velocity + static_cast<int>(random() % 8));
    }
    const Score score = read_sound(file(0, 480, {track})).score;
    EXPECT_EQ(to_string(score.measures[1].meter), "4/4") << before;
    EXPECT_EQ(score.measures[0].implicit, before > 0);
    EXPECT_EQ(score.measures[0].length, before > 0 ? Fraction(before, 8) : Fraction(1)) << before;
  }
}

// What stands beside the notes comes along with them, and what is before the first note with that.
TEST(MidiTake, TextsMoveAlong) {
  Playing steady{100, 0, Drift::none, 2};
  Track track;
  track.key(0, 2);
  std::mt19937 random(steady.seed);
  const double silence = std::uniform_real_distribution<double>(0.5, 4.0)(random);
  const Sounding& tenth = jig()[9];
  const double at = silence + (tenth.at - jig()[0].at).to_double() * 2.4;
  track.meta(std::llround(at * 960), 5, "here");
  const Reading reading = read_sound(take(jig(), steady, track));
  EXPECT_EQ(told(reading.report, "midi-take"), 1U);
  EXPECT_EQ(reading.score.measures[0].key.fifths, 2);
  std::size_t note = 0;
  std::size_t sung = 0;
  for (const Measure& measure : reading.score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      if (stroke.is_rest() || stroke.notes[0].tied_from_previous) continue;
      if (!stroke.lyrics.empty()) {
        ++sung;
        EXPECT_EQ(note, 9U);
      }
      ++note;
    }
  }
  EXPECT_EQ(sung, 1U);
}

// Few notes have no pulse, nor have patterns, nor what is longer than anybody plays.
TEST(MidiTake, WhatIsNoTake) {
  const std::vector<Sounding> few(jig().begin(), jig().begin() + 8);
  EXPECT_EQ(told(read_sound(take(few, unsteady)).report, "midi-take"), 0U);
  Track pattern;
  for (int i = 0; i < 40; ++i) pattern.note(i * 311 + i * i, 100, 60 + i % 7);
  EXPECT_EQ(told(read_sound(file(2, 480, {pattern})).report, "midi-take"), 0U);
}

// The trouble with a grid that has no room for the notes is the grid.
TEST(MidiTake, AGridThatIsTooCoarseIsToldToBe) {
  Track triplets;
  for (int i = 0; i < 36; ++i) triplets.note(i * 160, 150, 60 + i % 5);
  ReadOptions options;
  options.grid = Fraction(1, 8);
  const Reading coarse = read_sound(file(0, 480, {triplets}), options);
  ASSERT_EQ(told(coarse.report, "midi-grid-too-coarse"), 1U);
  const auto& entries = coarse.report.entries();
  EXPECT_TRUE(std::any_of(entries.begin(), entries.end(), [](const fifthpeg::Entry& entry) {
    return entry.text ==
           "a grid of 1/8 is too coarse: 12 of 36 strokes fall on the one before them; one of 1/12 keeps "
           "them "
           "apart";
  }));
  options.grid = Fraction(1, 12);
  EXPECT_EQ(told(read_sound(file(0, 480, {triplets}), options).report, "midi-grid-too-coarse"), 0U);
}

TEST(MidiRead, AnotherMeterThanTheFiles) {
  Track track;
  track.meter(0, 4, 2).meter(1920, 3, 2);
  for (int i = 0; i < 24; ++i) track.note(i * 240, 240, 60 + i % 5);
  ReadOptions options;
  options.meter = Meter{{6}, 8};
  const Reading reading = read_sound(file(0, 480, {track}), options);
  ASSERT_EQ(reading.score.measures.size(), 4U);
  for (const Measure& measure : reading.score.measures) EXPECT_EQ(to_string(measure.meter), "6/8");
}

}  // namespace
