// Options of finger(): styles, parts of the neck, fixed points, slurs, reach.
#include <algorithm>
#include <gtest/gtest.h>
#include <string>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/read.hpp"
#include "hands/scores.hpp"

namespace fifthpeg {
namespace {

using testing::fingers_of;
using testing::passage;
using testing::picking_fingers_of;
using testing::placements_of;

constexpr std::string_view scale = "G3 A3 B3 C4 D4 E4 F#4 G4";

bool tells(const Report& report, EntryKind kind, std::string_view slug) {
  return std::any_of(report.entries().begin(), report.entries().end(),
                     [&](const Entry& told) { return told.kind == kind && told.slug == slug; });
}

template <class OfNote>
void for_each_note(const Score& score, const OfNote& of_note) {
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      for (const Note& note : stroke.notes) of_note(note);
    }
  }
}

TEST(Styles, HaveNamesThatReadBack) {
  for (const Style style :
       {Style::roll, Style::melodic, Style::single_string, Style::clawhammer, Style::automatic}) {
    EXPECT_EQ(parse_style(slug(style)), style);
  }
  EXPECT_FALSE(parse_style("strumming"));
}

TEST(Styles, MelodicNeverStaysOnAString) {
  Score score = passage("G3 A3 B3 C4 D4 E4 F#4 G4 A4 B4 A4 G4 F#4 E4 D4 C4", {1, 8}, 140);
  HandsOptions options;
  options.style = Style::melodic;
  finger(score, options);
  int before = 0;
  for_each_note(score, [&](const Note& note) {
    EXPECT_NE(note.placement->string, before);
    before = note.placement->string;
  });
}

TEST(Styles, EachStylePicksWithItsOwnDigits) {
  for (const Style style : {Style::roll, Style::melodic, Style::single_string, Style::clawhammer}) {
    Score score = passage(scale);
    HandsOptions options;
    options.style = style;
    const FingeringResult result = finger(score, options);
    EXPECT_EQ(result.style, style);
    for_each_note(score, [&](const Note& note) {
      if (note.into != Technique::none) return;  // not picked
      ASSERT_TRUE(note.picking_finger);
      const bool nail = *note.picking_finger == PickingFinger::nail;
      const bool thumb = *note.picking_finger == PickingFinger::thumb;
      if (style == Style::clawhammer) {
        EXPECT_TRUE(nail || thumb);
      } else {
        EXPECT_FALSE(nail);
      }
      if (style == Style::single_string) {
        EXPECT_NE(*note.picking_finger, PickingFinger::middle);
      }
    });
  }
}

TEST(Styles, AutomaticTakesTheCheapestAndSaysSo) {
  std::int64_t cheapest = INT64_MAX;
  Style best = Style::roll;
  for (const Style style : {Style::roll, Style::melodic, Style::single_string, Style::clawhammer}) {
    Score score = passage(scale, {1, 8}, 150);
    HandsOptions options;
    options.style = style;
    const std::int64_t cost = finger(score, options).cost;
    if (cost < cheapest) {
      cheapest = cost;
      best = style;
    }
  }
  Score score = passage(scale, {1, 8}, 150);
  HandsOptions options;
  options.style = Style::automatic;
  const FingeringResult result = finger(score, options);
  EXPECT_EQ(result.style, best);
  EXPECT_EQ(result.cost, cheapest);
  EXPECT_TRUE(tells(result.report, EntryKind::decision, "style-chosen"));
}

TEST(Styles, PositionAndNeckConfineTheHand) {
  const auto frets_of = [](HandsOptions options) {
    Score score = passage("D5 B4 G4 B4 D5 G5 D5 B4");
    finger(score, options);
    std::vector<int> frets;
    for_each_note(score, [&](const Note& note) {
      if (note.placement->fret > 0) frets.push_back(note.placement->fret);
    });
    return frets;
  };
  HandsOptions options;
  options.position = FretRange{12, 17};
  for (const int fret : frets_of(options)) {
    EXPECT_GE(fret, 12);
    EXPECT_LE(fret, 17);
  }
  HandsOptions high;
  high.neck = NeckPart::high;
  for (const int fret : frets_of(high)) EXPECT_GE(fret, 7);

  Score score = passage("E4 C4 A3 F#4 E4");
  HandsOptions low;
  low.neck = NeckPart::low;
  finger(score, low);
  for_each_note(score, [](const Note& note) { EXPECT_LE(note.placement->fret, 5); });
}

TEST(Styles, WhatHasNoPlaceInThePositionIsPlayedWhereItCanBe) {
  Score score = passage("E3");
  HandsOptions options;
  options.position = FretRange{10, 14};
  options.transpose = 0;
  const FingeringResult result = finger(score, options);
  EXPECT_EQ(placements_of(score), "4:2");
  EXPECT_TRUE(tells(result.report, EntryKind::decision, "outside-position"));
}

// Whatever else that asks: B4 at fret 9 rather than 12, 16 or 21, C5 at fret 10.
TEST(Styles, WhatHasNoPlaceInThePositionTakesTheNearest) {
  for (const int tempo : {60, 120, 200}) {
    Score score = passage("E4 B4 A3 C5 E4 B4 C5 B4", {1, 8}, tempo);
    HandsOptions options;
    options.position = FretRange{1, 5};
    options.transpose = 0;
    finger(score, options);
    for_each_note(score, [](const Note& note) {
      if (note.pitch.midi() < 71) return;
      EXPECT_EQ(note.placement->fret, note.pitch.midi() - 62);
    });
  }
}

TEST(Styles, ThePositionChoosesTheOctaveAndSaysSo) {
  Score score = passage("E3 F3 E3 F3");
  HandsOptions options;
  options.position = FretRange{10, 14};
  const FingeringResult result = finger(score, options);
  EXPECT_EQ(result.half_steps, 12);
  EXPECT_FALSE(tells(result.report, EntryKind::decision, "outside-position"));
  ASSERT_TRUE(tells(result.report, EntryKind::decision, "moved-by-octaves"));
}

// A few notes outside are no reason to sound an octave off.
TEST(Styles, ThePositionLeavesTheOctaveWhereNearlyAllFits) {
  Score score = passage("D5 E5 F5 D5 E5 F5 D5 E5 F5 D5 E5 F5 D5 E5 F5 E3");
  HandsOptions options;
  options.position = FretRange{12, 17};
  EXPECT_EQ(finger(score, options).half_steps, 0);
}

TEST(Styles, OptionsThatCannotBeAreUsageErrors) {
  Score score = passage(scale);
  HandsOptions options;
  options.position = FretRange{5, 4};
  EXPECT_THROW(finger(score, options), UsageError);
  options = {};
  options.reach = 0.0;
  EXPECT_THROW(finger(score, options), UsageError);
  options = {};
  options.scale_length_mm = -1.0;
  EXPECT_THROW(finger(score, options), UsageError);
}

// Fourth string at 2, first at 6: 123 mm apart. A small hand does not hold it, a usual one does.
TEST(Styles, ReachScalesWhatAHandHolds) {
  const auto stretched = [] {
    Score score = passage("G#4+E3");
    score.measures[0].strokes[0].notes[0].placement = Placement{1, 6};
    score.measures[0].strokes[0].notes[1].placement = Placement{4, 2};
    return score;
  };
  Score usual = stretched();
  EXPECT_TRUE(finger(usual).report.empty());
  EXPECT_EQ(placements_of(usual), "1:6+4:2");
  Score small = stretched();
  HandsOptions options;
  options.reach = 0.7;
  try {
    finger(small, options);
    EXPECT_NE(placements_of(small), "1:6+4:2");
  } catch (const UnplayableError& error) {
    EXPECT_NE(std::string(error.what()).find("no hand can hold"), std::string::npos);
  }
}

// ---- fixed points ------------------------------------------------------------------------------

TEST(FixedPoints, FingersAndDigitsStay) {
  Score score = passage("G3 A3 B3 C4");
  score.measures[0].strokes[1].notes[0].placement = Placement{3, 2};
  score.measures[0].strokes[1].notes[0].finger = FretFinger::ring;
  score.measures[0].strokes[2].notes[0].picking_finger = PickingFinger::middle;
  const FingeringResult result = finger(score);
  EXPECT_TRUE(result.report.empty());
  EXPECT_EQ(score.measures[0].strokes[1].notes[0].placement, (Placement{3, 2}));
  EXPECT_EQ(score.measures[0].strokes[1].notes[0].finger, FretFinger::ring);
  EXPECT_EQ(score.measures[0].strokes[2].notes[0].picking_finger, PickingFinger::middle);
}

TEST(FixedPoints, FretsOnlyKeepsDigits) {
  Score score = passage("G3 B3 D4");
  std::vector<Stroke>& strokes = score.measures[0].strokes;
  strokes[1].notes[0].placement = Placement{3, 4};
  strokes[1].notes[0].picking_finger = PickingFinger::thumb;
  HandsOptions options;
  options.refinger = Refinger::frets_only;
  finger(score, options);
  EXPECT_EQ(strokes[1].notes[0].picking_finger, PickingFinger::thumb);
  EXPECT_NE(strokes[1].notes[0].placement, (Placement{3, 4}));
}

TEST(FixedPoints, FingersThatCannotStandAreToldAndFoundAnew) {
  Score score = passage("E4+C4");
  score.measures[0].strokes[0].notes[0].placement = Placement{1, 2};
  score.measures[0].strokes[0].notes[0].finger = FretFinger::index;
  score.measures[0].strokes[0].notes[1].placement = Placement{2, 1};
  score.measures[0].strokes[0].notes[1].finger = FretFinger::ring;  // below the index finger
  const FingeringResult result = finger(score);
  EXPECT_TRUE(tells(result.report, EntryKind::loss, "fingers-cannot-be-used"));
  EXPECT_EQ(placements_of(score), "1:2+2:1");
  EXPECT_LT(score.measures[0].strokes[0].notes[1].finger, score.measures[0].strokes[0].notes[0].finger);
}

TEST(FixedPoints, WhatCannotBePlayedIsToldWithItsPlaceAndReason) {
  Score score = passage("G3 G3 G3 G3 G3 G3 G3 G3 G3 G3 E4+C4 G3");
  std::vector<Note>& notes = score.measures[1].strokes[2].notes;
  notes[0].placement = Placement{4, 14};  // E4, ten frets from
  notes[1].placement = Placement{2, 1};   // C4
  const FingeringResult result = finger(score);
  ASSERT_EQ(result.report.entries().size(), 1U);
  const Entry& told = result.report.entries().front();
  EXPECT_EQ(told.kind, EntryKind::loss);
  EXPECT_EQ(told.slug, "placements-cannot-be-held");
  EXPECT_EQ(told.places.at(0).measure, "2");
  EXPECT_EQ(told.places.at(0).beat, Fraction(2));
  EXPECT_NE(told.text.find("too far apart"), std::string::npos) << told.text;
}

TEST(FixedPoints, DigitsThatCannotStrikeAreToldAndFoundAnew) {
  Score score = passage("D4+G3");
  for (Note& note : score.measures[0].strokes[0].notes) note.picking_finger = PickingFinger::index;
  const FingeringResult result = finger(score);
  EXPECT_TRUE(tells(result.report, EntryKind::loss, "picking-fingers-cannot-be-used"));
  EXPECT_EQ(picking_fingers_of(score), "TM");
}

// ---- slurs -------------------------------------------------------------------------------------

TEST(Slurs, WhatNoTechniquePlaysIsTold) {
  Score score = passage("D3 G4");  // no string has both
  score.measures[0].strokes[0].notes[0].out_of = Technique::slur;
  score.measures[0].strokes[1].notes[0].into = Technique::slur;
  const FingeringResult result = finger(score);
  EXPECT_TRUE(tells(result.report, EntryKind::loss, "slur-not-played"));
  EXPECT_EQ(score.measures[0].strokes[1].notes[0].into, Technique::slur);
  EXPECT_TRUE(score.measures[0].strokes[1].notes[0].picking_finger);
}

// Tab may write a hammer-on from a note that others have been struck after: where it is picked, neither end
// of it stays, and where it comes from the stroke before, both are a slur.
TEST(Slurs, WhatIsPickedInsteadKeepsNoEnd) {
  const std::string text =
      "Key: G major\nMeter: 4/4\n\nd|-0------------h4--|\nB|----0-----0------|\nG|-------0---------|\n"
      "D|----------------|\ng|----------0------|\n";
  Score score = read(text).score;
  ASSERT_EQ(score.measures[0].strokes[0].notes[0].out_of, Technique::hammer_on);
  const FingeringResult result = finger(score);
  EXPECT_TRUE(tells(result.report, EntryKind::loss, "slur-not-played"));
  for_each_note(score, [](const Note& note) {
    EXPECT_EQ(note.into, Technique::none);
    EXPECT_EQ(note.out_of, Technique::none);
  });

  Score next = passage("D3 G4");  // no string has both
  next.measures[0].strokes[0].notes[0].out_of = Technique::hammer_on;
  next.measures[0].strokes[1].notes[0].into = Technique::hammer_on;
  finger(next);
  EXPECT_EQ(next.measures[0].strokes[0].notes[0].out_of, Technique::slur);
  EXPECT_EQ(next.measures[0].strokes[1].notes[0].into, Technique::slur);
}

TEST(Slurs, APullOffHasBothFingersOnOneString) {
  Score score = passage("C4 B3 G4 A#3 A3 G4");
  for (const std::size_t i : {std::size_t{0}, std::size_t{3}}) {
    score.measures[0].strokes[i].notes[0].out_of = Technique::pull_off;
    score.measures[0].strokes[i + 1].notes[0].into = Technique::pull_off;
  }
  finger(score);
  EXPECT_EQ(placements_of(score), "2:1 2:0 5:0 3:3 3:2 5:0");
  EXPECT_LT(score.measures[0].strokes[4].notes[0].finger, score.measures[0].strokes[3].notes[0].finger);
}

TEST(Slurs, AreSuggestedOnlyWhenAskedFor) {
  const std::string_view fast = "E3 F3 E3 F3 E3 F3 E3 F3";
  Score plain = passage(fast, {1, 16}, 140);
  HandsOptions options;
  options.transpose = 0;
  finger(plain, options);
  for_each_note(plain, [](const Note& note) { EXPECT_EQ(note.into, Technique::none); });
  Score suggested = passage(fast, {1, 16}, 140);
  options.suggest_slurs = true;
  const FingeringResult result = finger(suggested, options);
  EXPECT_TRUE(tells(result.report, EntryKind::decision, "slur-suggested"));
  EXPECT_TRUE(flaws(suggested).empty());
}

// Common practice of clawhammer: hammer-ons and pull-offs give notes between two strokes of the nail.
TEST(Slurs, BelongToClawhammerUnlessTheyAreToBeKept) {
  const std::string_view words = "G3 A3 B3 C4 D4 E4 D4 B3";
  for (const bool keep : {false, true}) {
    Score score = passage(words, {1, 8}, 110);
    HandsOptions options;
    options.style = Style::clawhammer;
    if (keep) options.suggest_slurs = false;
    const FingeringResult result = finger(score, options);
    EXPECT_EQ(tells(result.report, EntryKind::decision, "slur-of-style"), !keep);
    for (const Stroke& stroke : score.measures[0].strokes) {
      if (stroke.is_rest() || stroke.notes[0].into == Technique::none) continue;
      EXPECT_FALSE(keep);
      EXPECT_NE((stroke.onset * 4).den(), 1) << "off the beat";
    }
    EXPECT_TRUE(flaws(score).empty());
  }
}

TEST(Slurs, AGraceNoteAndItsStrokeArePlayableTogether) {
  Score score = passage("A#3 B3");
  Stroke grace = score.measures[0].strokes[0];
  std::vector<Stroke>& strokes = score.measures[0].strokes;
  grace.grace = Grace::slashed;
  grace.notes[0].out_of = Technique::slur;
  strokes[1].notes[0].into = Technique::slur;
  grace.onset = strokes[1].onset;
  strokes.insert(strokes.begin() + 1, grace);
  finger(score);
  EXPECT_EQ(strokes[1].notes[0].placement->string, strokes[2].notes[0].placement->string);
  EXPECT_FALSE(strokes[2].notes[0].picking_finger);
  EXPECT_NE(strokes[2].notes[0].into, Technique::slur);
}

// ---- ringing -----------------------------------------------------------------------------------

// A note that is to ring on keeps its finger: the next stopped note is another finger's.
TEST(Ringing, ANoteThatRingsOnKeepsItsFinger) {
  Score score = passage("C4 E4 G4 D4");
  score.measures[0].strokes[0].notes[0].ring = Ring::let_ring;
  finger(score);
  EXPECT_EQ(placements_of(score).substr(0, 3), "2:1");
  EXPECT_EQ(score.measures[0].strokes[1].notes[0].placement, (Placement{1, 2}));
  EXPECT_NE(score.measures[0].strokes[0].notes[0].finger, score.measures[0].strokes[1].notes[0].finger);
}

// What is marked stopped need not be held: lifting it costs nothing, where it would cost with a ringing note.
TEST(Ringing, AStoppedNoteNeedNotBeHeld) {
  const auto ring_cost = [](Ring ring) {
    Score score = passage("C4 D#5 G4");
    Note& first = score.measures[0].strokes[0].notes[0];
    score.measures[0].strokes[1].notes[0].placement = Placement{1, 13};
    first.placement = Placement{2, 1};  // twelve frets below the next one
    first.ring = ring;
    HandsOptions options;
    options.explain = true;
    std::int64_t cost = 0;
    for (const Explained& one : finger(score, options).explanation) {
      cost += one.cost.at(static_cast<std::size_t>(CostKind::ring));
    }
    return cost;
  };
  EXPECT_EQ(ring_cost(Ring::damp), 0);
  EXPECT_GT(ring_cost(Ring::natural), 0);
  EXPECT_GT(ring_cost(Ring::let_ring), ring_cost(Ring::natural));
}

TEST(Ringing, NothingRingsOpenUnderABar) {
  Score score = passage("D5+B4+G4 D5+B3+G4");
  finger(score);
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      for (const Note& a : stroke.notes) {
        for (const Note& b : stroke.notes) {
          if (a.placement->fret == 0 || b.placement->fret == 0 || a.finger != b.finger) continue;
          for (const Note& open : stroke.notes) {
            const bool between =
                a.placement->string < open.placement->string && open.placement->string < b.placement->string;
            EXPECT_FALSE(open.placement->fret == 0 && between);
          }
        }
      }
    }
  }
}

}  // namespace
}  // namespace fifthpeg
