// write_midi and read_midi together: a score that is written and read again is equal in all that MIDI holds.
#include <algorithm>
#include <gtest/gtest.h>
#include <string>
#include <vector>

#include "fifthpeg/read.hpp"
#include "fifthpeg/write.hpp"
#include "formats/midi/writer/lick.hpp"
#include "property/random_score.hpp"
#include "roundtrip/midi_held.hpp"

namespace fifthpeg::testing {
namespace {

Score read_back(const Score& score, bool strings, const ReadOptions& reading = {}) {
  StringSink sink;
  MidiOptions options;
  options.channel_per_string = strings;
  write_midi(score, options, sink);
  return read_midi(sink.str(), reading).score;
}

std::string shown(Fraction value) {
  return to_string(value);
}
template <typename Thing>
std::string shown(const Thing& thing) {
  return ::testing::PrintToString(thing);
}

template <typename Thing>
void expect_same(const std::vector<Thing>& read, const std::vector<Thing>& written, const char* what) {
  const std::size_t count = std::max(read.size(), written.size());
  int failures = 0;
  for (std::size_t i = 0; i < count && failures < 3; ++i) {
    if (i < read.size() && i < written.size() && read[i] == written[i]) continue;
    ++failures;
    ::testing::Message message;
    message << what << " " << i << ": ";
    if (i < written.size()) message << "written " << shown(written[i]) << " ";
    if (i < read.size()) message << "read " << shown(read[i]);
    ADD_FAILURE() << message;
  }
}

// Written out in playing order, with the tempo as it is printed where a repeat or jump goes to.
Score played(const Score& score) {
  const PlayingOrder order = playing_order(score);
  Score straight = unfolded(score);
  for (std::size_t i = 1; i < order.measures.size(); ++i) {
    const std::size_t index = order.measures[i];
    straight.measures[i].tempos = score.measures[index].tempos;
    if (index == order.measures[i - 1] + 1) continue;
    std::optional<Tempo> in_force;
    for (std::size_t j = 0; j < index; ++j) {
      if (!score.measures[j].tempos.empty()) in_force = score.measures[j].tempos.back();
    }
    auto& tempos = straight.measures[i].tempos;
    if (!in_force || (!tempos.empty() && tempos.front().at == 0)) continue;
    in_force->at = 0;
    in_force->words.clear();
    tempos.insert(tempos.begin(), *in_force);
  }
  return straight;
}

// Compares what was read with what was written.
void expect_held(const Score& score, bool strings) {
  const Score straight = played(score);
  Held written = held_by_midi(straight, strings);
  Held read = held_by_midi(read_back(score, strings), strings);
  EXPECT_EQ(read.work, written.work);
  EXPECT_EQ(read.part_name, written.part_name);
  EXPECT_EQ(read.banjo, written.banjo);
  EXPECT_EQ(read.swing, written.swing);
  expect_same(read.barlines, written.barlines, "barline");
  expect_same(read.marks, written.marks, "mark");
  // How long a note rings is not a note value.
  if (read.notes.size() == written.notes.size()) {
    for (std::size_t i = 0; i < read.notes.size(); ++i) {
      if (!written.notes[i].end) read.notes[i].end.reset();
    }
  }
  expect_same(read.notes, written.notes, "note");
}

void start_without_graces(Score& score) {
  auto& strokes = score.measures.front().strokes;
  while (strokes.front().grace != Grace::none) strokes.erase(strokes.begin());
}

// A random score without what no reader can tell from something else:
//   a grace note at the very beginning, which has no time before it.
Score readable_score(std::uint64_t seed, RandomScoreOptions options) {
  Score score = random_score(seed, options);
  start_without_graces(score);
  normalize(score);
  return score;
}

void run(const RandomScoreOptions& options, int seeds, bool strings) {
  for (int seed = 1; seed <= seeds; ++seed) {
    const Score score = readable_score(static_cast<std::uint64_t>(seed), options);
    SCOPED_TRACE("seed " + std::to_string(seed) + (strings ? ", a channel a string" : ""));
    expect_held(score, strings);
    if (::testing::Test::HasFailure()) return;
  }
}

RandomScoreOptions plain() {
  RandomScoreOptions options;
  options.placed = options.chords = options.techniques = options.grace = options.tuplets = options.ties =
      options.changes = options.repeats = options.words = options.unusual_banjo = false;
  return options;
}

TEST(MidiRoundTrip, PlainMelodies) {
  run(plain(), 200, false);
}

TEST(MidiRoundTrip, Chords) {
  RandomScoreOptions options = plain();
  options.placed = options.chords = true;
  run(options, 200, true);
}

TEST(MidiRoundTrip, Tuplets) {
  RandomScoreOptions options = plain();
  options.tuplets = true;
  run(options, 200, false);
}

TEST(MidiRoundTrip, TiesAndRepeats) {
  RandomScoreOptions options = plain();
  options.ties = options.repeats = true;
  run(options, 200, false);
}

TEST(MidiRoundTrip, ChangesAndPickups) {
  RandomScoreOptions options = plain();
  options.changes = true;
  run(options, 200, false);
}

TEST(MidiRoundTrip, WordsAndSwing) {
  RandomScoreOptions options = plain();
  options.words = true;
  run(options, 200, false);
}

TEST(MidiRoundTrip, GraceNotes) {
  RandomScoreOptions options = plain();
  options.grace = true;
  run(options, 200, false);
}

TEST(MidiRoundTrip, Techniques) {
  RandomScoreOptions options = plain();
  options.placed = options.techniques = options.chords = true;
  run(options, 200, true);
}

// The drone rings on under the melody, and is found to.
TEST(MidiRoundTrip, WhatRingsOnIsReadAsRinging) {
  std::vector<Stroke> strokes;
  for (const int fret : {0, 2, 4, 2}) {
    Note drone = on(5, 0);
    drone.ring = Ring::let_ring;
    strokes.push_back(stroke({1, 8}, {drone}));
    strokes.push_back(stroke({1, 8}, {on(3, fret)}));
  }
  const Score score = score_of({measure(strokes), measure(strokes)});
  for (const bool strings : {false, true}) {
    std::size_t ringing = 0;
    for (const Measure& one : read_back(score, strings).measures) {
      for (const Stroke& read : one.strokes) {
        ASSERT_EQ(read.notes.size(), 1U);
        const bool is_drone = read.notes[0].pitch.midi() == 67;
        EXPECT_EQ(read.notes[0].ring, is_drone ? Ring::let_ring : Ring::natural);
        EXPECT_EQ(read.duration, Fraction(1, 8));
        ringing += is_drone ? 1 : 0;
      }
    }
    EXPECT_EQ(ringing, 8U);
  }
}

TEST(MidiRoundTrip, ASwungPickupComesBackAsAPickup) {
  std::vector<Stroke> eighths;
  for (int i = 0; i < 8; ++i) eighths.push_back(stroke({1, 8}, {on(1 + i % 4, 0)}));
  Score score = score_of({measure({stroke({1, 8}, {on(3, 0)})}), measure(eighths), measure(eighths)});
  score.swing = Swing{};
  expect_held(score, false);
}

// A pickup and the last measure that makes up for it, a rest before the pickup's note, and first measures
// that only look like one.
TEST(MidiRoundTrip, WhetherThereIsAPickup) {
  const auto whole = [] { return measure({stroke({1, 2}, {on(3, 0)}), stroke({1, 2}, {on(1, 0)})}); };
  Measure pickup = measure({stroke({1, 8}, {}), stroke({1, 8}, {on(3, 0)})});
  pickup.implicit = true;
  pickup.length = Fraction(1, 4);
  Measure last = measure({stroke({3, 4}, {on(1, 0)})});
  last.length = Fraction(3, 4);
  const Measure resting = measure({stroke({3, 4}, {}), stroke({1, 4}, {on(3, 0)})});
  Measure two = measure({stroke({1, 2}, {on(3, 0)})});
  two.meter.beats = {2};
  two.length = Fraction(1, 2);
  const Measure second = whole();
  for (const auto& measures : {std::vector{pickup, second, last}, std::vector{pickup, second, second},
                               std::vector{resting, second}, std::vector{two, second, last}}) {
    Score score = score_of(measures);
    const std::vector<Measure> read = read_back(score, false).measures;
    ASSERT_EQ(read.size(), score.measures.size());
    for (std::size_t i = 0; i < read.size(); ++i) {
      EXPECT_EQ(read[i].length, score.measures[i].length) << i;
      EXPECT_EQ(read[i].implicit, score.measures[i].implicit) << i;
      EXPECT_EQ(read[i].meter, score.measures[i].meter) << i;
    }
    expect_held(score, false);
  }
}

// To say of a file that we wrote how long its pickup is changes nothing.
TEST(MidiRoundTrip, APickupThatIsAskedForAsWell) {
  for (const auto& [beats, unit] : {std::pair{4, 4}, {3, 4}, {2, 2}, {6, 8}, {9, 8}}) {
    for (const Fraction length : {Fraction(1, 8), Fraction(1, 4), Fraction(3, 8), Fraction(1, 2)}) {
      SCOPED_TRACE(::testing::Message() << beats << "/" << unit << " " << to_string(length));
      const auto in_meter = [&, beats = beats, unit = unit](Measure measure) {
        measure.meter.beats = {beats};
        measure.meter.unit = unit;
        measure.key.fifths = 2;
        return measure;
      };
      Measure pickup = in_meter(measure({stroke(length, {on(3, 0)})}));
      pickup.implicit = true;
      pickup.length = length;
      pickup.tempos.push_back({0, 150, Fraction(1, 4), ""});
      const Fraction whole = pickup.meter.length();
      Measure full = in_meter(measure({stroke(whole, {on(1, 0)})}));
      full.length = whole;
      Measure last = in_meter(measure({stroke(whole - length, {on(2, 1)})}));
      last.length = whole - length;
      for (const auto& measures : {std::vector{pickup, full, last}, std::vector{pickup, full, full}}) {
        const Score score = score_of(measures);
        ReadOptions asked;
        asked.pickup = length;
        const std::vector<Measure> read = read_back(score, false, asked).measures;
        EXPECT_EQ(read, read_back(score, false).measures);
        ASSERT_EQ(read.size(), score.measures.size());
        for (std::size_t i = 0; i < read.size(); ++i) {
          EXPECT_EQ(read[i].length, score.measures[i].length) << i;
          EXPECT_EQ(read[i].implicit, score.measures[i].implicit) << i;
          EXPECT_EQ(read[i].meter, score.measures[i].meter) << i;
          EXPECT_EQ(read[i].key, score.measures[i].key) << i;
          EXPECT_EQ(read[i].tempos.size(), i == 0 ? 1U : 0U) << i;
        }
      }
    }
  }
}

TEST(MidiRoundTrip, Everything) {
  run({}, 500, true);
}

}  // namespace
}  // namespace fifthpeg::testing
