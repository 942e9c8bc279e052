// What finger() promises about any piece: playable placements, range, thinning, fixed points, errors.
#include <algorithm>
#include <gtest/gtest.h>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/hands.hpp"
#include "hands/scores.hpp"

namespace fifthpeg {
namespace {

using testing::passage;
using testing::placements_of;

bool tells(const Report& report, EntryKind kind, std::string_view slug) {
  return std::any_of(report.entries().begin(), report.entries().end(),
                     [&](const Entry& told) { return told.kind == kind && told.slug == slug; });
}

void expect_every_placement_sounds_its_pitch(const Score& score) {
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      std::vector<int> strings;
      for (const Note& note : stroke.notes) {
        ASSERT_TRUE(note.placement);
        EXPECT_EQ(score.banjo.midi_at(*note.placement), note.pitch.midi());
        strings.push_back(note.placement->string);
      }
      std::sort(strings.begin(), strings.end());
      EXPECT_TRUE(std::adjacent_find(strings.begin(), strings.end()) == strings.end());
    }
  }
}

TEST(Finger, OpenStringsOfOpenG) {
  Score score = passage("D3 G3 B3 D4 G4");
  finger(score);
  EXPECT_EQ(placements_of(score), "4:0 3:0 2:0 1:0 5:0");
}

TEST(Finger, TellsOfAStringInsideABrushThatHasNoNote) {
  Score score = passage("D4+G3+D3");
  Stroke& stroke = score.measures[0].strokes[0];
  stroke.notes[0].placement = Placement{1, 0};
  stroke.notes[2].placement = Placement{4, 0};
  stroke.brush = Brush::plain;
  EXPECT_TRUE(tells(finger(score).report, EntryKind::decision, "brush-damps-string"));
  Score neighbors = passage("D4+B3+G3");
  neighbors.measures[0].strokes[0].brush = Brush::plain;
  EXPECT_FALSE(tells(finger(neighbors).report, EntryKind::decision, "brush-damps-string"));
}

TEST(Finger, NothingToDo) {
  Score score;
  EXPECT_EQ(finger(score).cost, 0);
  Score rests = passage("- - -");
  EXPECT_EQ(finger(rests).cost, 0);
}

TEST(Finger, TheShortStringHasNoFretsOneToFive) {
  // G#4 to C5 would be frets 1 to 5 above the fifth string's nut if they were counted from there.
  Score score = passage("G#4 A4 A#4 B4 C5 C#5");
  finger(score);
  expect_every_placement_sounds_its_pitch(score);
}

TEST(Finger, MovesByOctavesIntoRangeAndSaysSo) {
  Score score = passage("G1 B1 D2");
  const FingeringResult result = finger(score);
  EXPECT_EQ(result.half_steps, 24);
  EXPECT_EQ(to_string(score.measures[0].strokes[0].notes[0].pitch), "G3");
  EXPECT_TRUE(tells(result.report, EntryKind::decision, "moved-by-octaves"));
  expect_every_placement_sounds_its_pitch(score);
}

TEST(Finger, MovesByHalfStepsAsAsked) {
  Score score = passage("C3 D4");  // C3 lies below the fourth string
  HandsOptions options;
  options.transpose = 2;
  EXPECT_EQ(finger(score, options).half_steps, 2);
  EXPECT_EQ(placements_of(score), "4:0 1:2");
}

TEST(Finger, NamesMeasureBeatAndPitchOfWhatDoesNotFit) {
  Score score = passage("G3 G3 G3 G3 G3 G3 G3 G3 G3 G3 C#3");
  const Score before = score;
  HandsOptions options;
  options.transpose = 0;
  try {
    finger(score, options);
    FAIL();
  } catch (const UnplayableError& error) {
    EXPECT_EQ(error.place().measure, "2");
    EXPECT_EQ(error.place().beat, Fraction(2));
    EXPECT_NE(std::string(error.what()).find("C#3"), std::string::npos);
    EXPECT_EQ(error.code(), "note-out-of-range");
    EXPECT_EQ(error.data().pitch, parse_pitch("C#3"));
  }
  EXPECT_EQ(score, before);
}

TEST(Finger, RefusesWhatNoHandHolds) {
  Score score = passage("D4 D3+E3");  // both only on the fourth string
  const Score before = score;
  HandsOptions options;
  options.transpose = 0;
  try {
    finger(score, options);
    FAIL();
  } catch (const UnplayableError& error) {
    EXPECT_EQ(error.place().measure, "1");
    EXPECT_EQ(error.code(), "stroke-cannot-be-held");
    EXPECT_NE(std::string(error.what()).find("D3"), std::string::npos);
    EXPECT_NE(std::string(error.what()).find("E3"), std::string::npos);
  }
  EXPECT_EQ(score, before);
}

TEST(Finger, ThinsFromTheInsideAndKeepsTheMelody) {
  Score score = passage("B4+E3+D3");
  HandsOptions options;
  options.transpose = 0;
  options.thin = true;
  const FingeringResult result = finger(score, options);
  ASSERT_EQ(score.measures[0].strokes[0].notes.size(), 2U);
  EXPECT_EQ(to_string(score.measures[0].strokes[0].notes[0].pitch), "B4");
  EXPECT_EQ(to_string(score.measures[0].strokes[0].notes[1].pitch), "D3");
  EXPECT_TRUE(tells(result.report, EntryKind::loss, "note-let-go"));
}

TEST(Finger, ThinsStrokesOfMoreNotesThanStrings) {
  Score score = passage("G5+D5+B4+G4+D4+B3+G3+D3");
  Score refused = score;
  EXPECT_THROW(finger(refused), UnplayableError);
  HandsOptions options;
  options.thin = true;
  finger(score, options);
  const Stroke& stroke = score.measures[0].strokes[0];
  EXPECT_EQ(to_string(stroke.notes.front().pitch), "G5");
  EXPECT_LE(stroke.notes.size(), 5U);
  EXPECT_GE(stroke.notes.size(), 3U);
  expect_every_placement_sounds_its_pitch(score);
}

TEST(Finger, ThinningUntiesWhatWasTied) {
  Score score = passage("B4+E3+D3 D4+E3");
  score.measures[0].strokes[0].notes[1].tied_to_next = true;
  score.measures[0].strokes[1].notes[1].tied_from_previous = true;
  HandsOptions options;
  options.transpose = 0;
  options.thin = true;
  finger(score, options);
  ASSERT_TRUE(flaws(score).empty()) << flaws(score).front();
  ASSERT_EQ(score.measures[0].strokes[1].notes.size(), 2U);
  EXPECT_FALSE(score.measures[0].strokes[1].notes[1].tied_from_previous);
}

// Of a unison that is tied on both strings one goes: the tie of the other is whole at both ends.
TEST(Finger, ThinningKeepsTiesWholeWhereAUnisonIsDoubled) {
  Score score = passage("G5+D5+B4+G4+D4+D4 D4+D4");
  for (Note& note : score.measures[0].strokes[0].notes) note.tied_to_next = to_string(note.pitch) == "D4";
  for (Note& note : score.measures[0].strokes[1].notes) note.tied_from_previous = true;
  HandsOptions options;
  options.transpose = 0;
  options.thin = true;
  finger(score, options);
  const auto tied = [](const Stroke& stroke, bool Note::*end) {
    return std::count_if(stroke.notes.begin(), stroke.notes.end(),
                         [end](const Note& note) { return note.*end; });
  };
  const auto& strokes = score.measures[0].strokes;
  EXPECT_LT(strokes[0].notes.size(), 6U);
  EXPECT_EQ(tied(strokes[0], &Note::tied_to_next), tied(strokes[1], &Note::tied_from_previous));
}

TEST(Finger, KeepsPlacementsThatGiveThePitch) {
  Score score = passage("B3 D4 G4");
  score.measures[0].strokes[1].notes[0].placement = Placement{2, 3};
  finger(score);
  EXPECT_EQ(score.measures[0].strokes[1].notes[0].placement, (Placement{2, 3}));
  HandsOptions options;
  options.refinger = Refinger::all;
  finger(score, options);
  EXPECT_EQ(placements_of(score), "2:0 1:0 5:0");
}

TEST(Finger, TellsPlacementsThatContradictThePitch) {
  Score score = passage("G4 D4");
  score.measures[0].strokes[1].notes[0].placement = Placement{2, 4};
  const FingeringResult result = finger(score);
  EXPECT_TRUE(tells(result.report, EntryKind::loss, "placement-contradicts-pitch"));
  EXPECT_EQ(placements_of(score), "5:0 2:3");
}

TEST(Finger, FindsPlacementsAnewThatCannotBeHeldTogether) {
  Score score = passage("D4+B3");
  for (Note& note : score.measures[0].strokes[0].notes) {
    note.placement = Placement{2, static_cast<std::int8_t>(note.pitch.midi() - 59)};
  }
  const FingeringResult result = finger(score);
  EXPECT_TRUE(tells(result.report, EntryKind::loss, "placements-cannot-be-held"));
  EXPECT_EQ(placements_of(score), "1:0+2:0");
}

TEST(Finger, TiedNotesStayWhereTheyAre) {
  Score score = passage("E4+B3 E4+D4");
  score.measures[0].strokes[0].notes[0].tied_to_next = true;
  score.measures[0].strokes[1].notes[0].tied_from_previous = true;
  finger(score);
  EXPECT_EQ(score.measures[0].strokes[0].notes[0].placement, score.measures[0].strokes[1].notes[0].placement);
}

TEST(Finger, AChokeIsNeverOnAnOpenString) {
  Score score = passage("D4");
  score.measures[0].strokes[0].notes[0].choke = Choke{};
  finger(score);
  EXPECT_GT(score.measures[0].strokes[0].notes[0].placement->fret, 0);
}

TEST(Finger, HarmonicsAreTouchedWhereTheStringDivides) {
  Score score = passage("D6");  // two octaves above the open first string
  score.measures[0].strokes[0].notes[0].harmonic = true;
  HandsOptions options;
  options.transpose = 0;
  finger(score, options);
  EXPECT_EQ(placements_of(score), "1:5");
}

TEST(Finger, TheSameEveryTime) {
  const std::string_view words = "G3 A3 B3 C4 D4 E4 F#4 G4 A4 B4+G4 C5 D5+B4+G4 E5 D5 B4 G4";
  Score first = passage(words);
  Score second = passage(words);
  EXPECT_EQ(finger(first).cost, finger(second).cost);
  EXPECT_EQ(first, second);
  expect_every_placement_sounds_its_pitch(first);
}

}  // namespace
}  // namespace fifthpeg
