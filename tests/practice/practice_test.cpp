// Practice: what is played how often, how it is counted in, and what goes with it.
#include "fifthpeg/practice.hpp"

#include <gtest/gtest.h>
#include <string>
#include <vector>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/performance.hpp"
#include "hands/scores.hpp"
#include "property/random_score.hpp"

namespace fifthpeg {
namespace {

using testing::passage;

std::vector<std::string> marks(const Score& score) {
  std::vector<std::string> result;
  for (const Measure& measure : score.measures) {
    for (const Direction& direction : measure.directions) {
      if (direction.kind == Direction::Kind::rehearsal) result.push_back(direction.text);
    }
  }
  return result;
}

// When notes are struck, in seconds.
std::vector<double> struck(const Practice& practiced) {
  const Performance performance = perform(practiced.score);
  std::vector<double> result;
  for (const SoundedNote& note : performance.notes) result.push_back(performance.seconds(note.start));
  return result;
}

std::vector<double> clicked(const Practice& practiced) {
  const Performance performance = perform(practiced.score);
  std::vector<double> result;
  for (const HeardClick& click : heard(practiced.clicks, performance)) {
    result.push_back(performance.seconds(click.start));
  }
  return result;
}

void expect_times(const std::vector<double>& times, const std::vector<double>& wanted) {
  ASSERT_EQ(times.size(), wanted.size());
  for (std::size_t i = 0; i < times.size(); ++i) EXPECT_NEAR(times[i], wanted[i], 1e-6) << i;
}

void expect_sound(const Practice& practiced) {
  EXPECT_EQ(flaws(practiced.score), std::vector<std::string>{});
  for (const Score& part : practiced.backing) {
    EXPECT_EQ(flaws(part), std::vector<std::string>{});
    ASSERT_EQ(part.measures.size(), practiced.score.measures.size());
    for (std::size_t m = 0; m < part.measures.size(); ++m) {
      EXPECT_EQ(part.measures[m].length, practiced.score.measures[m].length);
    }
  }
}

ChordSymbol chord(const char* text, Fraction at = 0) {
  ChordSymbol symbol = parse_chord_symbol(text).value();
  symbol.at = at;
  return symbol;
}

TEST(Practice, PlaysEachSpeedAndTimeAfterACountIn) {
  const Score lick = passage("G3 A3 B3 C4", {1, 4}, 120);
  PracticeOptions options;
  options.speeds = {50, 100};
  options.times = 2;
  const Practice practiced = practice(lick, options);
  expect_sound(practiced);
  EXPECT_EQ(marks(practiced.score),
            (std::vector<std::string>{"50 %, 1 of 2", "50 %, 2 of 2", "100 %, 1 of 2", "100 %, 2 of 2"}));
  expect_times(struck(practiced), {4, 5, 6, 7, 8, 9, 10, 11, 14, 14.5, 15, 15.5, 16, 16.5, 17, 17.5});
  expect_times(clicked(practiced), {0, 1, 2, 3, 12, 12.5, 13, 13.5});
  EXPECT_TRUE(practiced.clicks.front().accent);
  EXPECT_FALSE(practiced.clicks[1].accent);
}

TEST(Practice, ClicksOnEveryBeat) {
  PracticeOptions options;
  options.click = true;
  options.count_in = 0;
  expect_times(clicked(practice(passage("G3 A3 B3 C4", {1, 4}, 120), options)), {0, 0.5, 1, 1.5});
  Score jig = passage("G3 A3 B3 C4 D4 E4", {1, 8}, 120);
  jig.measures[0].meter = {{6}, 8, Meter::Symbol::numbers};
  jig.measures[0].length = Fraction(3, 4);
  jig.measures[0].strokes.pop_back();
  expect_times(clicked(practice(jig, options)), {0, 0.75});
  jig.measures[0].meter = {{2, 3}, 8, Meter::Symbol::numbers};
  jig.measures[0].length = Fraction(5, 8);
  jig.measures[0].strokes.pop_back();
  ASSERT_EQ(flaws(jig), std::vector<std::string>{});
  expect_times(clicked(practice(jig, options)), {0, 0.5});
}

// A pickup of a quarter, and a piece whose last measure lacks it.
Score with_pickup(bool closed) {
  Score score = passage("G3 A3 B3 C4 D4 E4 F#4 G4", {1, 4}, 120);
  Measure pickup = score.measures[0];
  pickup.number = "0";
  pickup.implicit = true;
  pickup.length = Fraction(1, 4);
  pickup.strokes.resize(1);
  score.measures[0].tempos.clear();
  score.measures.insert(score.measures.begin(), pickup);
  if (closed) {
    score.measures.back().length = Fraction(3, 4);
    score.measures.back().strokes.resize(3);
  }
  return score;
}

TEST(Practice, CountsWhatAPickupLacks) {
  PracticeOptions options;
  options.times = 2;
  ASSERT_EQ(flaws(with_pickup(true)), std::vector<std::string>{});
  const Practice closed = practice(with_pickup(true), options);
  expect_sound(closed);
  // 1 2 3 4 1 2 3, and the pickup comes in; the second time it follows straight on.
  expect_times(clicked(closed), {0, 0.5, 1, 1.5, 2, 2.5, 3});
  const std::vector<double> times = struck(closed);
  ASSERT_EQ(times.size(), 16U);
  for (std::size_t i = 0; i < times.size(); ++i) {
    EXPECT_NEAR(times[i], 3.5 + 0.5 * static_cast<double>(i), 1e-6);
  }
  // Without a count-in it begins at once, and with the next speed it follows on.
  PracticeOptions plain;
  plain.count_in = 0;
  plain.speeds = {100, 50};
  const std::vector<double> at_once = struck(practice(with_pickup(true), plain));
  EXPECT_EQ(at_once.front(), 0);
  EXPECT_NEAR(at_once[8], 4, 1e-6);
  EXPECT_NEAR(at_once[9], 5, 1e-6);
  // After a whole last measure there is a rest before it.
  const Practice open = practice(with_pickup(false), options);
  expect_sound(open);
  const std::vector<double> later = struck(open);
  EXPECT_NEAR(later[8], 7.5, 1e-6);
  EXPECT_NEAR(later[9], 9.5, 1e-6);
}

TEST(Practice, PlaysRepeatsOut) {
  Score score = passage("G3 A3 B3 C4 D4 E4 F#4 G4", {1, 4}, 120);
  score.measures[0].repeat_starts = true;
  score.measures[0].repeat_times = 2;
  PracticeOptions options;
  options.count_in = 0;
  EXPECT_EQ(struck(practice(score, options)).size(), 12U);
}

TEST(Practice, TakesMeasuresByTheirNumbers) {
  const Score score = passage("G3 A3 B3 C4 D4 E4 F#4 G4 A4 B4 C5 D5", {1, 4}, 120);
  PracticeOptions options;
  options.count_in = 0;
  options.measures = MeasureRange{"2", "3"};
  const Practice practiced = practice(score, options);
  EXPECT_EQ(struck(practiced).size(), 8U);
  EXPECT_EQ(perform(practiced.score).notes.front().midi, 62);
  EXPECT_EQ(practiced.score.measures.front().number, "2");
  EXPECT_TRUE(practiced.report.empty()) << "the tempo before them is known";
  for (const MeasureRange& wrong :
       {MeasureRange{"2", "4"}, MeasureRange{"9", "10"}, MeasureRange{"3", "2"}}) {
    options.measures = wrong;
    EXPECT_THROW(practice(score, options), UsageError);
  }
}

TEST(Practice, SaysWhichTempoItTook) {
  Score score = passage("G3 A3 B3 C4", {1, 4});
  score.measures[0].tempos.clear();
  const Practice practiced = practice(score, {});
  ASSERT_EQ(practiced.report.entries().size(), 1U);
  EXPECT_EQ(practiced.report.entries()[0].slug, "practice-tempo");
  EXPECT_NEAR(struck(practiced)[1] - struck(practiced)[0], 60.0 / practice_tempo, 1e-6);
}

TEST(Practice, ChangesOfTempoAreScaled) {
  Score score = passage("G3 A3 B3 C4 D4 E4 F#4 G4", {1, 4}, 120);
  score.measures[1].tempos.push_back({0, 60, {1, 4}, "", true});
  PracticeOptions options;
  options.speeds = {50};
  options.times = 2;
  options.count_in = 0;
  expect_times(struck(practice(score, options)), {0, 1, 2, 3, 4, 6, 8, 10, 12, 13, 14, 15, 16, 18, 20, 22});
}

TEST(Practice, SwingsWhereAsked) {
  PracticeOptions options;
  options.count_in = 0;
  options.swing = true;
  expect_times(struck(practice(passage("G3 A3 - - - - - -", {1, 8}, 60), options)), {0, 2.0 / 3});
}

std::vector<int> pitches(const Score& score) {
  std::vector<int> result;
  for (const SoundedNote& note : perform(score).notes) result.push_back(note.midi);
  return result;
}

TEST(Practice, TheBackingFollowsTheChords) {
  Score score = passage("G3 A3 B3 C4 D4 E4 F#4 G4", {1, 4}, 120);
  score.measures[0].chords = {chord("G")};
  score.measures[1].chords = {chord("Am"), chord("D7/F#", {1, 2})};
  PracticeOptions options;
  options.backing = true;
  const Practice practiced = practice(score, options);
  expect_sound(practiced);
  ASSERT_EQ(practiced.backing.size(), 2U);
  // G and its fifth; A; F# under the slash.
  EXPECT_EQ(pitches(practiced.backing[0]), (std::vector<int>{43, 50, 45, 42}));
  const Performance bass = perform(practiced.backing[0]);
  EXPECT_EQ(bass.whole_notes(bass.notes[0].start), 1);
  EXPECT_EQ(bass.whole_notes(bass.notes[1].start), Fraction(3, 2));
  const Performance chords = perform(practiced.backing[1]);
  EXPECT_EQ(chords.whole_notes(chords.notes[0].start), Fraction(5, 4));
  EXPECT_EQ(pitches(practiced.backing[1]),
            (std::vector<int>{55, 59, 62, 55, 59, 62, 57, 60, 64, 57, 60, 62, 66}));
}

// At each speed, and where the tempo changes.
TEST(Practice, TheBackingKeepsTime) {
  Score score = passage("G3 A3 B3 C4 D4 E4 F#4 G4 A4 B4 C5 D5", {1, 4}, 90);
  score.measures[0].chords = {chord("G")};
  score.measures[1].tempos.push_back({{1, 2}, 50, {1, 4}, "", true});
  PracticeOptions options;
  options.backing = true;
  options.speeds = {50, 80};
  options.times = 2;
  const Practice practiced = practice(score, options);
  const Performance tune = perform(practiced.score);
  for (const Score& part : practiced.backing) {
    const Performance played = perform(part);
    ASSERT_FALSE(played.notes.empty());
    for (const SoundedNote& note : played.notes) {
      const Fraction at = played.whole_notes(note.start) / tune.tick;
      EXPECT_NEAR(played.seconds(note.start), tune.seconds(at.floor()), 0.001);
    }
  }
}

TEST(Practice, TheBackingOfTwoBeats) {
  Score score = passage("G3 A3 B3 C4", {1, 8}, 120);
  score.measures[0].meter = {{2}, 4, Meter::Symbol::numbers};
  score.measures[0].length = Fraction(1, 2);
  score.measures[0].strokes.pop_back();
  score.measures[0].chords = {chord("C")};
  PracticeOptions options;
  options.backing = true;
  options.count_in = 0;
  const Practice practiced = practice(score, options);
  expect_sound(practiced);
  const Performance bass = perform(practiced.backing[0]);
  ASSERT_EQ(bass.notes.size(), 2U);
  EXPECT_EQ(bass.whole_notes(bass.notes[1].start), Fraction(1, 4));
  EXPECT_EQ(perform(practiced.backing[1]).whole_notes(perform(practiced.backing[1]).notes[0].start),
            Fraction(1, 8));
}

TEST(Practice, BackingNeedsChords) {
  PracticeOptions options;
  options.backing = true;
  try {
    practice(passage("G3 A3 B3 C4", {1, 4}), options);
    FAIL();
  } catch (const UnplayableError& error) {
    EXPECT_EQ(error.code(), "no-chords");
  }
  Score score = passage("G3 A3 B3 C4", {1, 4});
  score.measures[0].chords = {chord("N.C.")};
  const Practice practiced = practice(score, options);
  EXPECT_TRUE(pitches(practiced.backing[0]).empty());
  EXPECT_TRUE(practiced.report.empty());
}

TEST(Practice, RefusesWhatCannotBe) {
  const Score score = passage("G3 A3 B3 C4", {1, 4});
  const auto refused = [&](auto change) {
    PracticeOptions options;
    change(options);
    EXPECT_THROW(practice(score, options), UsageError);
  };
  refused([](PracticeOptions& options) { options.speeds = {}; });
  refused([](PracticeOptions& options) { options.speeds = {100, 9}; });
  refused([](PracticeOptions& options) { options.speeds = {301}; });
  refused([](PracticeOptions& options) { options.times = 0; });
  refused([](PracticeOptions& options) { options.count_in = -1; });
  refused([](PracticeOptions& options) {
    options.times = 1000;
    options.speeds.assign(300, 100);
  });
}

TEST(Practice, OfNothingIsNothing) {
  PracticeOptions options;
  options.backing = true;
  EXPECT_TRUE(practice(Score{}, options).score.measures.empty());
}

// Whatever a score holds, the practice score is sound, and each time plays what unfolded() plays.
TEST(Practice, OfAnyScoreIsSound) {
  for (std::uint32_t seed = 0; seed < 200; ++seed) {
    const Score score = testing::random_score(seed);
    PracticeOptions options;
    options.speeds = {50, 100};
    options.times = 2;
    options.click = seed % 2 == 0;
    options.backing = std::any_of(score.measures.begin(), score.measures.end(),
                                  [](const Measure& measure) { return !measure.chords.empty(); });
    if (playing_order(score).bounded) continue;
    Practice practiced;
    try {
      practiced = practice(score, options);
    } catch (const UnplayableError&) {
      continue;  // the chords are in measures that are never played
    }
    expect_sound(practiced);
    const std::size_t once = perform(unfolded(score)).notes.size();
    const std::size_t all = perform(practiced.score).notes.size();
    EXPECT_LE(all, 4 * once) << seed;
    EXPECT_GE(all + 16, 4 * once) << seed << ": ties across the joints apart";
  }
}

}  // namespace
}  // namespace fifthpeg
