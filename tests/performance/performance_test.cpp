// What sounds when: exact times, strings, passes and bends.
#include "fifthpeg/performance.hpp"

#include <algorithm>
#include <array>
#include <gtest/gtest.h>
#include <vector>

#include "fifthpeg/errors.hpp"
#include "hands/scores.hpp"
#include "property/random_score.hpp"

namespace fifthpeg {
namespace {

using testing::passage;

std::vector<Fraction> starts(const Performance& performance) {
  std::vector<Fraction> result;
  for (const SoundedNote& note : performance.notes) result.push_back(performance.whole_notes(note.start));
  return result;
}

TEST(Performance, TimesAreExact) {
  Score score = passage("G3 A3 B3 C4 D4 E4 F#4 G4 A4 B4 A4", {1, 11});
  const Performance performance = perform(score);
  ASSERT_EQ(performance.notes.size(), 11U);
  for (int i = 0; i < 11; ++i) {
    const SoundedNote& note = performance.notes[static_cast<std::size_t>(i)];
    EXPECT_EQ(performance.whole_notes(note.start), Fraction(i, 11));
    EXPECT_EQ(performance.whole_notes(note.end), Fraction(i + 1, 11));
    EXPECT_EQ(note.stroke, static_cast<std::uint32_t>(i));
    EXPECT_EQ(note.pass, 1);
    EXPECT_EQ(note.string, 0) << "not placed";
  }
  EXPECT_EQ(performance.notes[0].midi, 55);
}

TEST(Performance, SwungPairsAreLongShort) {
  Score score = passage("G3 A3 B3 C4", {1, 8});
  score.swing = Swing{{1, 8}, 2, 1};
  EXPECT_EQ(starts(perform(score)),
            (std::vector<Fraction>{0, Fraction(1, 6), Fraction(1, 4), Fraction(5, 12)}));
}

std::vector<int> velocities(const Score& score) {
  std::vector<int> result;
  for (const SoundedNote& note : perform(score).notes) result.push_back(note.velocity);
  return result;
}

constexpr std::array all_roles{Role::none, Role::melody, Role::lick,  Role::kick_off,
                               Role::fill, Role::drone,  Role::backup};

// A passage whose notes have these roles in turn.
Score with_roles() {
  Score score = passage("G3 A3 B3 C4 D4 E4 F#4 G3 A3 B3 C4 D4 E4 F#4", {1, 8});
  std::size_t i = 0;
  for (Measure& measure : score.measures) {
    for (Stroke& stroke : measure.strokes) {
      if (!stroke.is_rest()) stroke.notes[0].role = all_roles.at(i++ % all_roles.size());
    }
  }
  return score;
}

TEST(Performance, TheMelodyIsLouderThanWhatGoesWithIt) {
  EXPECT_EQ(velocities(with_roles()),
            (std::vector<int>{80, 80, 80, 80, 56, 56, 56, 80, 80, 80, 80, 56, 56, 56}));
}

// Under every mark, with every accent, however a note is sounded: by the picking hand or the fret hand.
TEST(Performance, TheMelodyLeadsByTwenty) {
  for (const char* mark : {"ppp", "pp", "p", "mp", "mf", "f", "ff", "fff"}) {
    for (const int accent : {0, 1, 2}) {
      int softest_of_tune = 127;
      int loudest_beside = 0;
      for (const Technique into :
           {Technique::none, Technique::hammer_on, Technique::pull_off, Technique::slide}) {
        Score score = with_roles();
        score.measures[0].directions = {{0, Direction::Kind::dynamics, mark}};
        for (Measure& measure : score.measures) {
          for (Stroke& stroke : measure.strokes) {
            stroke.articulations.accent = accent == 1;
            stroke.articulations.strong_accent = accent == 2;
            for (Note& note : stroke.notes) note.into = into;
          }
        }
        const std::vector<int> heard = velocities(score);
        for (std::size_t i = 1; i < heard.size(); ++i) {
          if (i % 7 >= 1 && i % 7 <= 3) softest_of_tune = std::min(softest_of_tune, heard[i]);
          if (i % 7 >= 4) loudest_beside = std::max(loudest_beside, heard[i]);
        }
      }
      EXPECT_GE(softest_of_tune, loudest_beside + 20) << mark << " accent " << accent;
    }
  }
}

// Backup by itself, and music that says nothing, are as loud as they are marked.
TEST(Performance, WithoutAMelodyRolesAreNotHeard) {
  for (const Role role : all_roles) {
    if (role == Role::melody) continue;
    Score score = passage("G3 A3 B3 C4", {1, 4});
    for (Stroke& stroke : score.measures[0].strokes) stroke.notes[0].role = role;
    score.measures[0].strokes[1].articulations.accent = true;
    score.measures[0].strokes[2].notes[0].into = Technique::pull_off;
    EXPECT_EQ(velocities(score), (std::vector<int>{80, 96, 60, 80})) << to_string(role);
  }
}

TEST(Performance, RepeatsArePlayedAgainAndCounted) {
  Score score = passage("G3 A3 B3 C4", {1, 4});
  score.measures[0].repeat_times = 2;
  const Performance performance = perform(score);
  ASSERT_EQ(performance.notes.size(), 8U);
  EXPECT_EQ(performance.notes[3].pass, 1);
  EXPECT_EQ(performance.notes[4].pass, 2);
  EXPECT_EQ(performance.whole_notes(performance.notes[4].start), 1);
  ASSERT_EQ(performance.measures.size(), 2U);
  EXPECT_EQ(performance.measures[1].measure, 0U);
  EXPECT_EQ(performance.measures[1].pass, 2);
  EXPECT_EQ(performance.whole_notes(performance.measures[1].end), 2);
  PerformOptions written;
  written.unfold_repeats = false;
  EXPECT_EQ(perform(score, written).notes.size(), 4U);
}

TEST(Performance, SecondsFollowTheTempo) {
  Score score = passage("G3 A3 B3 C4", {1, 4});
  score.measures[0].tempos = {{0, 60, {1, 4}, "", true}, {{1, 2}, 240, {1, 4}, "", true}};
  const Performance performance = perform(score);
  ASSERT_EQ(performance.tempos.size(), 2U);
  EXPECT_DOUBLE_EQ(performance.seconds(performance.notes[1].start), 1.0);
  EXPECT_DOUBLE_EQ(performance.seconds(performance.notes[2].start), 2.0);
  EXPECT_DOUBLE_EQ(performance.seconds(performance.notes[3].start), 2.25);
  EXPECT_DOUBLE_EQ(performance.seconds(performance.notes[3].end), 2.5);
  EXPECT_DOUBLE_EQ(perform(passage("G3 A3", {1, 4})).seconds(0), 0.0);
}

TEST(Performance, ATiedNoteIsStruckOnce) {
  Score score = passage("G3 A3 A3 C4", {1, 4});
  score.measures[0].strokes[1].notes[0].tied_to_next = true;
  score.measures[0].strokes[2].notes[0].tied_from_previous = true;
  const Performance performance = perform(score);
  ASSERT_EQ(performance.notes.size(), 3U);
  EXPECT_EQ(performance.whole_notes(performance.notes[1].end), Fraction(3, 4));
}

TEST(Performance, AStringThatRingsIsCutByItsNextNoteOnly) {
  Score score = passage("D4 B3 D4 G3", {1, 4});
  auto& strokes = score.measures[0].strokes;
  strokes[0].notes[0].placement = Placement{1, 0};
  strokes[0].notes[0].ring = Ring::let_ring;
  strokes[1].notes[0].placement = Placement{2, 0};
  strokes[2].notes[0].placement = Placement{2, 3};  // the same pitch on another string
  strokes[3].notes[0].placement = Placement{3, 0};
  ASSERT_TRUE(flaws(score).empty());
  const Performance apart = perform(score);
  EXPECT_EQ(apart.notes[0].string, 1);
  EXPECT_EQ(apart.whole_notes(apart.notes[0].end), 1);
  PerformOptions together;
  together.strings_apart = false;
  const Performance one_channel = perform(score, together);
  EXPECT_EQ(one_channel.whole_notes(one_channel.notes[0].end), Fraction(1, 2));
}

TEST(Performance, ASlideIsABendOnTheNoteThatItLeaves) {
  Score score = passage("A3 B3 C4 G3", {1, 4});
  auto& strokes = score.measures[0].strokes;
  strokes[0].notes[0].placement = Placement{3, 2};
  strokes[1].notes[0].placement = Placement{3, 4};
  strokes[0].notes[0].out_of = strokes[1].notes[0].into = Technique::slide;
  strokes[2].notes[0].out_of = Technique::slide;  // leads nowhere
  const Performance performance = perform(score);
  ASSERT_EQ(performance.bends.size(), 1U);
  EXPECT_EQ(performance.notes[0].bend, 0);
  EXPECT_EQ(performance.bends[0].cents, 200);
  ASSERT_EQ(performance.unheard.size(), 1U);
  EXPECT_EQ(performance.unheard[0].kind, Unheard::Kind::slide);
  EXPECT_EQ(performance.unheard[0].stroke, 2U);
}

TEST(Performance, GraceNotesComeBeforeTheBeatAndTheSlurredAreSofter) {
  Score score = passage("G3 A3 B3 C4", {1, 4});
  Stroke grace = score.measures[0].strokes[1];
  grace.onset = {1, 4};
  grace.duration = {1, 16};
  grace.grace = Grace::slashed;
  score.measures[0].strokes.insert(score.measures[0].strokes.begin() + 1, grace);
  score.measures[0].strokes[2].notes[0].into = Technique::hammer_on;
  const Performance performance = perform(score);
  ASSERT_EQ(performance.notes.size(), 5U);
  EXPECT_LT(performance.whole_notes(performance.notes[1].start), Fraction(1, 4));
  EXPECT_EQ(performance.notes[0].end, performance.notes[1].start);
  EXPECT_EQ(performance.whole_notes(performance.notes[2].start), Fraction(1, 4));
  EXPECT_LT(performance.notes[2].velocity, performance.notes[1].velocity);
}

TEST(Performance, OptionsThatCannotBeAndTimesThatAreTooLong) {
  PerformOptions options;
  options.ticks_per_quarter = -1;
  EXPECT_THROW(perform(passage("G3"), options), UsageError);
  Score score = passage("G3");
  score.measures[0].length = score.measures[0].strokes[0].duration = INT64_MAX / 4;
  EXPECT_THROW(perform(score), TimeError);
  EXPECT_TRUE(perform(Score{}).notes.empty());
}

TEST(Performance, EveryNoteOfRandomScoresSounds) {
  for (std::uint64_t seed = 1; seed <= 300; ++seed) {
    const Score score = testing::random_score(seed);
    const Performance performance = perform(score);
    ASSERT_EQ(performance.measures.size(), playing_order(score).measures.size());
    std::int64_t last = 0;
    for (const SoundedNote& sounded : performance.notes) {
      const Note& note = score.measures.at(sounded.measure).strokes.at(sounded.stroke).notes.at(sounded.note);
      ASSERT_EQ(note.pitch.midi(), sounded.midi);
      ASSERT_EQ(note.placement ? note.placement->string : 0, sounded.string);
      ASSERT_GE(sounded.start, last);
      ASSERT_GT(sounded.end, sounded.start);
      last = sounded.start;
    }
  }
}

}  // namespace
}  // namespace fifthpeg
