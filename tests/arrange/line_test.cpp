// Melodic and single-string: the melody is all there, what is beside it belongs to the chord, and hands can
// play it.
#include <algorithm>
#include <gtest/gtest.h>
#include <string>
#include <utility>
#include <vector>

#include "arrange/promises.hpp"
#include "arrange/varied_melody.hpp"
#include "fifthpeg/arrange.hpp"
#include "fifthpeg/edit.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/harmony.hpp"
#include "fifthpeg/performance.hpp"
#include "hands/queries.hpp"
#include "hands/scores.hpp"
#include "harmony/tunes.hpp"
#include "score/chord_tones.hpp"

namespace fifthpeg {
namespace {

using testing::varied_melody;
using testing::VariedMelodyOptions;

// A note as it is struck: when, and which.
using At = std::pair<Fraction, int>;

// The notes that are struck, of one role or of all but it.
std::vector<At> struck(const Score& score, Role role, bool others = false) {
  std::vector<At> notes;
  Fraction start;
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      for (const Note& note : stroke.notes) {
        if ((note.role == role) != others && !note.tied_from_previous)
          notes.emplace_back(start + stroke.onset, note.pitch.midi());
      }
    }
    start += measure.length;
  }
  return notes;
}

struct Case {
  Style style;
  std::vector<int> beats;
  int unit;
};

class Line : public ::testing::TestWithParam<Case> {
 protected:
  static VariedMelodyOptions options() {
    VariedMelodyOptions options;
    options.beats = GetParam().beats;
    options.unit = GetParam().unit;
    return options;
  }
  // Calls `of(source, arrangement, level)` for melodies of all kinds.
  template <class Of>
  static void for_each_melody(const Of& of) {
    for (std::uint64_t seed = 1; seed <= 6; ++seed) {
      VariedMelodyOptions kind = options();
      kind.pickup = seed % 2 == 0;
      kind.chords = seed % 3 != 0;
      const Score source = varied_melody(seed, kind);
      for (int level = lowest_level; level <= highest_level; ++level) {
        SCOPED_TRACE("seed " + std::to_string(seed) + ", level " + std::to_string(level));
        of(source, arranged(source, level), level);
      }
    }
  }
  static Arrangement arranged(const Score& source, int level) {
    ArrangeOptions options;
    options.style = GetParam().style;
    options.level = level;
    return arrange(source, options);
  }
};

TEST_P(Line, HasEveryNoteOfTheMelodyThatItsLevelAsksFor) {
  for_each_melody([](const Score& source, const Arrangement& made, int level) {
    std::vector<At> kept;
    for (const MelodyNote& note : made.melody) {
      EXPECT_TRUE(note.kept || !note.asked);
      EXPECT_TRUE(note.asked || !note.kept);
      if (note.kept) kept.emplace_back(note.at, note.midi);
    }
    EXPECT_TRUE(struck(made.score, Role::melody) == kept);
    std::vector<At> all = struck(source, Role::none);
    ASSERT_EQ(made.melody.size(), all.size());
    const int moved = made.melody.front().midi - all.front().second;
    for (At& one : all) one.second += moved;
    if (level > 1) {
      EXPECT_TRUE(kept == all);
      return;
    }
    const auto& told = made.report.entries();
    const bool folded = std::any_of(told.begin(), told.end(), [](const Entry& entry) {
      return entry.slug == "phrase-folded" || entry.slug == "melody-note-folded";
    });
    // The notes on beats are there, and few others; octaves up or down where that is told.
    const Fraction beat = source.measures.back().meter.is_compound() ? Fraction(3, 8) : Fraction(1, 4);
    const Fraction pickup = counted_before(source.measures.front());
    for (const At& one : all) {
      if (!((one.first + pickup) / beat).is_whole()) continue;
      const auto there =
          std::find_if(kept.begin(), kept.end(), [&](const At& other) { return other.first == one.first; });
      ASSERT_TRUE(there != kept.end()) << to_string(one.first);
      EXPECT_EQ((there->second - one.second) % 12, 0) << to_string(one.first);
      EXPECT_TRUE(there->second == one.second || folded) << to_string(one.first);
    }
    EXPECT_LT(kept.size(), all.size());
  });
}

TEST_P(Line, OfBeginnersStaysInTheFirstFrets) {
  for_each_melody([](const Score&, const Arrangement& made, int level) {
    if (level != lowest_level) return;
    for (const Measure& measure : made.score.measures) {
      for (const Stroke& stroke : measure.strokes) {
        for (const Note& note : stroke.notes) {
          ASSERT_TRUE(note.placement);
          EXPECT_LE(note.placement->fret, GetParam().style == Style::melodic ? 4 : 5) << measure.number;
        }
      }
    }
  });
}

TEST_P(Line, AddsNotesOfTheChordAndTheDroneOnly) {
  int added = 0;
  for_each_melody([&](const Score&, const Arrangement& made, int level) {
    if (level == 1) {
      EXPECT_TRUE(struck(made.score, Role::melody, true).empty());
      return;
    }
    std::optional<ChordTones> chord;
    int sounding = 0;
    for (const Measure& measure : made.score.measures) {
      std::size_t next = 0;
      for (const Stroke& stroke : measure.strokes) {
        for (; next < measure.chords.size() && measure.chords[next].at <= stroke.onset; ++next)
          chord = chord_tones(measure.chords[next]);
        for (const Note& note : stroke.notes) {
          if (note.role == Role::melody) {
            sounding = note.pitch.midi();
            continue;
          }
          ++added;
          const bool drone = note.placement == Placement{fifth_string, 0};
          EXPECT_EQ(note.role, drone ? Role::drone : Role::fill);
          EXPECT_TRUE(drone || (chord && chord->has(note.pitch.midi()))) << measure.number;
          const int apart = pitch_class(note.pitch.midi() - sounding);
          EXPECT_TRUE(apart != 1 && apart != 11) << measure.number;
        }
      }
    }
  });
  EXPECT_GT(added, 20);
}

TEST_P(Line, TakenOutByRoleIsTheMelodyThatWasKept) {
  for_each_melody([](const Score&, const Arrangement& made, int) {
    std::vector<At> kept;
    for (const MelodyNote& note : made.melody) {
      if (note.kept) kept.emplace_back(note.at, note.midi);
    }
    Score taken_out = made.score;
    keep_only(taken_out, {Role::melody});
    EXPECT_TRUE(struck(taken_out, Role::melody) == kept);
    EXPECT_TRUE(struck(taken_out, Role::melody, true).empty());
  });
}

TEST_P(Line, IsHeardOverWhatFillsIn) {
  for_each_melody(
      [](const Score&, const Arrangement& made, int) { arranged::expect_melody_over_fills(made.score); });
}

// In following eighths; what is faster the digits may not reach at all.
TEST_P(Line, TakesTurnsWithDigitsAndStrings) {
  for_each_melody([](const Score&, const Arrangement& made, int) {
    const Stroke* before = nullptr;
    Fraction before_at;
    Fraction start;
    for (const Measure& measure : made.score.measures) {
      for (const Stroke& stroke : measure.strokes) {
        if (stroke.is_rest() || stroke.notes.front().tied_from_previous) continue;
        const Fraction at = start + stroke.onset;
        if (before != nullptr && at - before_at <= Fraction(1, 8)) {
          for (const Note& a : before->notes) {
            for (const Note& b : stroke.notes) {
              EXPECT_NE(a.picking_finger, b.picking_finger)
                  << measure.number << ' ' << to_string(stroke.onset);
              const bool both = a.role == Role::melody && b.role == Role::melody;
              EXPECT_TRUE(both || a.placement->string != b.placement->string) << measure.number;
            }
          }
        }
        before = &stroke;
        before_at = at;
      }
      start += measure.length;
    }
  });
}

TEST_P(Line, IsHeldAndPickedByHands) {
  for_each_melody([](const Score&, const Arrangement& made, int) {
    EXPECT_EQ(flaws(made.score), std::vector<std::string>{});
    const hands::Model model(made.score.banjo, {}, GetParam().style);
    for (const Measure& measure : made.score.measures) {
      for (const Stroke& stroke : measure.strokes) {
        if (stroke.is_rest()) continue;
        EXPECT_EQ(hands::judge_hold(stroke, model).fault, hands::HoldFault::none) << measure.number;
        EXPECT_EQ(hands::judge_picking(stroke), hands::PickFault::none) << measure.number;
        for (const Note& note : stroke.notes) {
          EXPECT_TRUE(note.finger.has_value());
          EXPECT_TRUE(note.picking_finger || note.tied_from_previous);
        }
      }
    }
    Score again = made.score;
    HandsOptions hands;
    hands.style = GetParam().style;
    hands.transpose = 0;
    hands.refinger = Refinger::all;
    EXPECT_NO_THROW(finger(again, hands));
  });
}

TEST_P(Line, IsTheSameAtTwiceTheTempo) {
  for_each_melody([](const Score& source, const Arrangement& made, int level) {
    Score fast = source;
    state_one_tempo(fast, {0, 200, {1, 4}, "", true});
    EXPECT_EQ(testing::placements_of(arranged(fast, level).score), testing::placements_of(made.score));
  });
}

std::string name_of(const ::testing::TestParamInfo<Case>& one) {
  return std::string(one.param.style == Style::melodic ? "Melodic" : "SingleString") +
         std::to_string(one.param.beats.front()) + "_" + std::to_string(one.param.unit);
}

std::vector<Case> cases() {
  std::vector<Case> all;
  for (const Style style : {Style::melodic, Style::single_string}) {
    for (const auto& [beats, unit] : {std::pair{4, 4}, {3, 4}, {6, 8}, {2, 4}})
      all.push_back({style, {beats}, unit});
  }
  return all;
}

INSTANTIATE_TEST_SUITE_P(StylesAndMeters, Line, ::testing::ValuesIn(cases()), name_of);

Score small_tune() {
  // Two beats on each of G and C; a half note, quarters, and eighths that run.
  Score score = testing::passage("G3 A3 B3 C4 D4 E4 F#4 G4");
  const auto more = [&](std::string_view words, Fraction each) {
    Score next = testing::passage(words, each);
    score.measures.insert(score.measures.end(), next.measures.begin(), next.measures.end());
  };
  more("B3 D4", {1, 2});
  more("C4 E4 C4 G3", {1, 4});
  more("G3", 1);
  for (std::size_t m = 0; m < score.measures.size(); ++m) {
    Measure& measure = score.measures[m];
    measure.number = std::to_string(m + 1);
    measure.key = {1, Mode::major};
    measure.chords.push_back(parse_chord_symbol(m == 2 ? "C" : "G").value());
  }
  normalize(score);
  return score;
}

TEST(LineStyles, MelodicLaysTheScaleAcrossTheStringsAndDronesAfterLongNotes) {
  ArrangeOptions options;
  options.style = Style::melodic;
  options.keep_capo = true;
  const Score made = arrange(small_tune(), options).score;
  // No string twice in a row in the scale.
  const auto& scale = made.measures.front().strokes;
  for (std::size_t s = 1; s < scale.size(); ++s) {
    EXPECT_NE(scale[s].notes.front().placement->string, scale[s - 1].notes.front().placement->string) << s;
  }
  // Each quarter is followed by one open string an eighth after it, each half note by one on the next beat.
  const auto& halves = made.measures[1].strokes;
  ASSERT_EQ(halves.size(), 4U);
  EXPECT_EQ(halves[1].onset, Fraction(1, 4));
  EXPECT_EQ(halves[3].onset, Fraction(3, 4));
  EXPECT_EQ(halves[1].notes.front().placement->fret, 0);
  EXPECT_EQ(made.measures[2].strokes.size(), 8U);
  EXPECT_EQ(made.measures[2].strokes[1].onset, Fraction(1, 8));
  // For those who roll on there are eighths through all of it.
  options.level = 3;
  const auto rolled = arrange(small_tune(), options).score.measures[1].strokes;
  ASSERT_EQ(rolled.size(), 8U);
  for (std::size_t s = 1; s < rolled.size(); ++s)
    EXPECT_NE(rolled[s].notes.front().placement->string, rolled[s - 1].notes.front().placement->string);
}

// The last note of a phrase in a waltz: no fill between the first two beats and silence on the others.
TEST(LineStyles, ANoteOverAMeasureOfAWaltzDoesNotLimp) {
  Score waltz = testing::tune({{3}, 4}, {1, 4}, {1, Mode::major}, "D4 B3 G3 | B3*3 | A3 F#3 D3 | G3*3");
  set_chords(waltz, parse_chord_chart("G | G | D | G"));
  ArrangeOptions options;
  options.style = Style::melodic;
  options.keep_capo = true;
  for (const std::size_t m : {1U, 3U}) {
    const auto strokes = arrange(waltz, options).score.measures[m].strokes;
    ASSERT_EQ(strokes.size(), 2U);
    EXPECT_EQ(strokes[1].onset, Fraction(1, 4));
  }
}

TEST(LineStyles, SingleStringPutsThirdsAndSixthsUnderLongNotes) {
  ArrangeOptions options;
  options.style = Style::single_string;
  options.keep_capo = true;
  const Score made = arrange(small_tune(), options).score;
  for (const Stroke& stroke : made.measures.front().strokes) EXPECT_EQ(stroke.notes.size(), 1U);
  const auto& halves = made.measures[1].strokes;
  ASSERT_EQ(halves.size(), 2U);
  for (const Stroke& stroke : halves) {
    ASSERT_EQ(stroke.notes.size(), 2U);
    EXPECT_EQ(stroke.notes[1].placement->string, stroke.notes[0].placement->string + 1);
  }
  options.level = 1;
  for (const Measure& measure : arrange(small_tune(), options).score.measures) {
    for (const Stroke& stroke : measure.strokes) EXPECT_LE(stroke.notes.size(), 1U);
  }
}

TEST(LineStyles, SayOfEachStrokeWhyItIsThere) {
  ArrangeOptions options;
  options.keep_capo = true;
  options.explain = true;
  for (const auto& [style, text] : {std::pair{Style::melodic, "drone, after a long note"},
                                    {Style::single_string, "melody; fill, under a long note"}}) {
    options.style = style;
    const Arrangement made = arrange(small_tune(), options);
    std::size_t strokes = 0;
    for (const Measure& measure : made.score.measures)
      strokes +=
          static_cast<std::size_t>(std::count_if(measure.strokes.begin(), measure.strokes.end(),
                                                 [](const Stroke& stroke) { return !stroke.is_rest(); }));
    ASSERT_EQ(made.reasons.size(), strokes);
    EXPECT_TRUE(std::any_of(made.reasons.begin(), made.reasons.end(),
                            [t = text](const Reason& one) { return one.text == t; }));
  }
}

TEST(LineStyles, OfNoStyleInParticularThereIsNoArrangement) {
  ArrangeOptions options;
  options.style = Style::automatic;
  EXPECT_THROW(arrange(small_tune(), options), UsageError);
}

}  // namespace
}  // namespace fifthpeg
