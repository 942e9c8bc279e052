// How strokes become printed notes: values, ties, beams, tuplets, accidentals.
//
// Unless a test names another source, the expectations are common practice, as E. Gould, Behind Bars, London
// 2011, sets it out (from memory).
#include <array>
#include <gtest/gtest.h>
#include <string>

#include "engraving/accidentals.hpp"
#include "engraving/beam.hpp"
#include "engraving/engrave_text.hpp"
#include "engraving/stroke_splitter.hpp"
#include "engraving/tuplets.hpp"
#include "property/random_score.hpp"

namespace fifthpeg::engraving {
namespace {

using testing::parse_measure;

Engraving engrave(const Measure& measure) {
  const Grid grid = grid_for(measure);
  const BeatMap beats = beat_map(measure, grid);
  Engraving engraving;
  split_strokes(measure, grid, beats, engraving);
  beam_pieces(measure, grid, beats, engraving);
  group_tuplets(measure, grid, engraving);
  return engraving;
}

std::string name_of(NoteValue value) {
  if (!value) return "?";
  const std::string names[] = {"1024", "512", "256", "128", "64", "32", "16",
                               "8",    "q",   "h",   "w",   "W",  "l",  "m"};
  return names[value.type] + std::string(static_cast<std::size_t>(value.dots), '.');
}

// "q 8~h. r8 R": values, ~ for a tie to the next part of the stroke, r for rests, R for a measure rest.
std::string values(const Measure& measure, const Engraving& engraving) {
  std::string text;
  for (const Piece& piece : engraving.pieces) {
    if (!text.empty() && text.back() != '~') text += ' ';
    const Stroke& stroke = measure.strokes[piece.stroke];
    if (piece.measure_rest) {
      text += 'R';
      continue;
    }
    if (stroke.is_rest()) text += 'r';
    text += name_of(piece.value);
    if (!piece.last && !stroke.is_rest()) text += '~';
  }
  return text;
}

std::string values(const std::string& meter, const std::string& strokes) {
  const Measure measure = parse_measure(meter, strokes);
  return values(measure, engrave(measure));
}

// One word a piece, a letter a beam: b begin, c continue, e end, f and k hooks forward and back, - none.
std::string beams(const std::string& meter, const std::string& strokes) {
  std::string text;
  for (const Piece& piece : engrave(parse_measure(meter, strokes)).pieces) {
    if (!text.empty()) text += ' ';
    std::string word;
    for (const Beam beam : piece.beams) {
      if (beam != Beam::none) word += "-bcefk"[static_cast<int>(beam)];
    }
    text += word.empty() ? "-" : word;
  }
  return text;
}

// ---- values ------------------------------------------------------------------------------------

TEST(NoteValues, AreTypesWithUpToTwoDots) {
  EXPECT_EQ(name_of(single_value(4096)), "w");
  EXPECT_EQ(name_of(single_value(1024)), "q");
  EXPECT_EQ(name_of(single_value(1536)), "q.");
  EXPECT_EQ(name_of(single_value(1792)), "q..");
  EXPECT_EQ(name_of(single_value(4)), "1024");
  EXPECT_EQ(name_of(single_value(7)), "1024..");
  EXPECT_EQ(name_of(single_value(8 * 4096)), "m");
  EXPECT_FALSE(single_value(1920));  // three dots
  EXPECT_FALSE(single_value(1280));  // a quarter and a sixteenth
  EXPECT_FALSE(single_value(2));
  EXPECT_FALSE(single_value(0));
  EXPECT_FALSE(single_value(16 * 4096));
}

TEST(NoteValues, LengthAndValueAreInverse) {
  for (int units = 1; units <= 16 * 4096; ++units) {
    if (const NoteValue value = single_value(units)) {
      EXPECT_EQ(length_in_units(value), units);
      EXPECT_EQ(longest_value_in(units), value);
    }
    const NoteValue longest = longest_value_in(units);
    EXPECT_LE(length_in_units(longest), units);
    EXPECT_EQ(static_cast<bool>(longest), units >= 4);
  }
}

TEST(NoteValues, HaveTheNamesOfTheStandardAndThoseThatAreSpoken) {
  for (int type = 0; type < 14; ++type) {
    EXPECT_EQ(type_named(type_name(type)), (NoteValue{static_cast<std::int8_t>(type), 0}));
  }
  EXPECT_EQ(type_name(quarter_type), "quarter");
  EXPECT_FALSE(type_named("sixteenth"));
  EXPECT_FALSE(type_named(""));
  EXPECT_EQ(spoken_name(single_value(256)), "sixteenth");
  EXPECT_EQ(spoken_name(single_value(units_in({3, 8}))), "dotted quarter");
  EXPECT_EQ(spoken_name(single_value(units_in({7, 8}))), "double-dotted half");
}

TEST(NoteValues, AreCountedInUnits) {
  EXPECT_EQ(units_in({1, 4}), value_units / 4);
  EXPECT_EQ(units_in({1, 3}), 0);
  EXPECT_EQ(units_in({1, 8192}), 0);
  EXPECT_EQ(units_in(16), 16 * value_units);
  EXPECT_EQ(units_in(17), 0);
  EXPECT_EQ(units_in({-1, 4}), 0);
}

TEST(Splitting, KeepsSingleValuesOnTheBeat) {
  EXPECT_EQ(values("4/4", "1/4 1/4 1/2"), "q q h");
  EXPECT_EQ(values("4/4", "3/8 1/8 1/2"), "q. 8 h");
  EXPECT_EQ(values("4/4", "1/2 3/8 1/8"), "h q. 8");
  EXPECT_EQ(values("4/4", "3/4 1/4"), "h. q");
  EXPECT_EQ(values("4/4", "1"), "w");
  EXPECT_EQ(values("3/4", "3/4"), "h.");
  EXPECT_EQ(values("3/4", "1/4 1/2"), "q h");
  EXPECT_EQ(values("2/4", "3/8 1/8"), "q. 8");
  EXPECT_EQ(values("6/8", "3/4"), "h.");
  EXPECT_EQ(values("12/8", "3/4 3/4"), "h. h.");
  EXPECT_EQ(values("12/8", "3/2"), "w.");
  EXPECT_EQ(values("4/2", "2"), "W");
}

TEST(Splitting, ShowsTheMiddleOfFourBeats) {
  EXPECT_EQ(values("4/4", "1/4 1/2 1/4"), "q q~q q");
  EXPECT_EQ(values("4/4", "3/8 1/4 3/8"), "q. 8~8 q.");
  EXPECT_EQ(values("4/4", "1/4 3/4"), "q q~h");
  EXPECT_EQ(values("4/4", "7/8 1/8"), "h~q. 8");
  EXPECT_EQ(values("4/4", "5/8 3/8"), "h~8 q.");
}

// What the source has as one value stays one, in spite of the meter.
TEST(Splitting, LeavesAValueOfTheSourceWhole) {
  const auto unparted = [](const std::string& meter, const std::string& strokes) {
    Measure measure = parse_measure(meter, strokes);
    for (Stroke& stroke : measure.strokes) stroke.unparted = true;
    return values(measure, engrave(measure));
  };
  EXPECT_EQ(unparted("4/4", "1/4 3/4"), "q h.");
  EXPECT_EQ(unparted("4/4", "1/4 1/2 1/4"), "q h q");
  EXPECT_EQ(unparted("6/8", "1/4 1/4 1/4"), "q q q");
  // No single value is that long.
  EXPECT_EQ(unparted("4/4", "5/8 3/8"), "h~8 q.");
  // Rests too.
  EXPECT_EQ(unparted("4/4", "1/4 r3/4"), "q rh.");
  EXPECT_EQ(unparted("4/4", "r3/8 1/8 1/2"), "rq. 8 h");
}

TEST(Splitting, AllowsSimpleSyncopationInsideAHalf) {
  EXPECT_EQ(values("4/4", "1/8 1/4 1/8 1/2"), "8 q 8 h");
  EXPECT_EQ(values("4/4", "1/8 3/8 1/2"), "8 q. h");
  EXPECT_EQ(values("2/4", "1/8 1/4 1/8"), "8 q 8");
  EXPECT_EQ(values("2/2", "1/4 1/2 1/4"), "q h q");
  EXPECT_EQ(values("2/4", "1/16 1/8 1/16 1/4"), "16 8 16 q");
  EXPECT_EQ(values("3/4", "1/8 1/4 1/4 1/8"), "8 q q 8");
}

TEST(Splitting, ShowsTheBeatUnderFinerSyncopation) {
  EXPECT_EQ(values("4/4", "3/16 1/8 3/16 1/2"), "8. 16~16 8. h");
  EXPECT_EQ(values("4/4", "1/16 1/4 3/16 1/2"), "16 8.~16 8. h");
  EXPECT_EQ(values("4/4", "5/16 3/16 1/2"), "q~16 8. h");
  EXPECT_EQ(values("3/4", "1/8 1/2 1/8"), "8 8~q. 8");
}

TEST(Splitting, ShowsDottedBeats) {
  EXPECT_EQ(values("6/8", "1/4 1/8 1/8 1/4"), "q 8 8 q");
  EXPECT_EQ(values("6/8", "1/4 1/4 1/4"), "q 8~8 q");
  EXPECT_EQ(values("6/8", "1/2 1/4"), "q.~8 q");
  EXPECT_EQ(values("6/8", "1/8 5/8"), "8 q~q.");
  EXPECT_EQ(values("9/8", "9/8"), "h.~q.");
  EXPECT_EQ(values("12/8", "3/8 3/4 3/8"), "q. q.~q. q.");
  EXPECT_EQ(values("6/8", "3/16 3/16 3/8"), "8. 8. q.");
}

TEST(Splitting, ShowsTheGroupsOfAdditiveMeters) {
  EXPECT_EQ(values("3+2/8", "5/8"), "q.~q");
  EXPECT_EQ(values("3+2/8", "1/4 1/4 1/8"), "q 8~8 8");
  EXPECT_EQ(values("2+3/8", "1/4 3/8"), "q q.");
  EXPECT_EQ(values("5/4", "5/4"), "h.~h");
  EXPECT_EQ(values("7/8", "7/8"), "h~q.");
}

TEST(Splitting, RestsShowEveryBeat) {
  EXPECT_EQ(values("4/4", "1/4 r3/4"), "q rq rh");
  EXPECT_EQ(values("4/4", "r3/4 1/4"), "rh rq q");
  EXPECT_EQ(values("4/4", "1/4 r1/2 1/4"), "q rq rq q");
  EXPECT_EQ(values("4/4", "r3/8 1/8 1/2"), "rq r8 8 h");
  EXPECT_EQ(values("4/4", "1/8 r3/8 1/2"), "8 r8 rq h");
  EXPECT_EQ(values("4/4", "1/8 r1/4 1/8 1/2"), "8 r8 r8 8 h");
  EXPECT_EQ(values("3/4", "r1/2 1/4"), "rq rq q");
  EXPECT_EQ(values("3/4", "1/4 r1/2"), "q rq rq");
  EXPECT_EQ(values("6/8", "r3/8 3/8"), "rq. q.");
  EXPECT_EQ(values("6/8", "r1/4 1/8 3/8"), "rq 8 q.");
  EXPECT_EQ(values("6/8", "1/8 r1/4 3/8"), "8 r8 r8 q.");
  EXPECT_EQ(values("6/8", "1/8 r5/8"), "8 r8 r8 rq.");
}

TEST(Splitting, ARestThatFillsTheMeterIsAMeasureRest) {
  EXPECT_EQ(values("4/4", "r1"), "R");
  EXPECT_EQ(values("3/4", "r3/4"), "R");
  EXPECT_EQ(values("7/8", "r7/8"), "R");
  EXPECT_EQ(values("4/4", "r1/2"), "rh");
}

TEST(Splitting, APickupIsTheEndOfAMeasure) {
  Measure pickup = parse_measure("4/4", "1/8 1/2");
  pickup.implicit = true;  // from the middle of beat 2 on
  EXPECT_EQ(values(pickup, engrave(pickup)), "8 h");
  pickup.implicit = false;
  EXPECT_EQ(values(pickup, engrave(pickup)), "8 q.~8");
}

TEST(Splitting, TupletsKeepTheirPrintedValues) {
  EXPECT_EQ(values("2/4", "3:2[1/12 1/12 1/12] 1/4"), "8 8 8 q");
  EXPECT_EQ(values("2/4", "3:2[1/6 1/12] 1/4"), "q 8 q");
  EXPECT_EQ(values("4/4", "3:2[5/24 1/8] 2/3"), "q~16 8. ?");
  EXPECT_EQ(values("2/4", "5:4[1/20 1/20 1/20 1/20 1/20] 1/4"), "16 16 16 16 16 q");
}

TEST(Splitting, WhatNoValuesAddUpToIsOneNoteWithoutAValue) {
  EXPECT_EQ(values("4/4", "1/7 6/7"), "? ?");
  EXPECT_EQ(values("4/4", "1/4096 4095/4096"), "? h..~16..~128..~1024..");
}

TEST(Splitting, BoundedForHugeMeasures) {
  EXPECT_LT(engrave(parse_measure("4/4", "100000")).pieces.size(), 4000U);
  EXPECT_LT(engrave(parse_measure("1000000000/4", "1/4 100000")).pieces.size(), 4000U);
  EXPECT_EQ(values("4/6", "1/8 1/4"), "8 q");
}

// Parts stand on end in order, have the lengths of their values, and add up to the strokes.
TEST(Splitting, PartsAddUpToTheStrokes) {
  for (std::uint64_t seed = 1; seed <= 200; ++seed) {
    testing::RandomScoreOptions options;
    options.nested_tuplets = true;
    const Score score = testing::random_score(seed, options);
    for (const Measure& measure : score.measures) {
      const Grid grid = grid_for(measure);
      const Engraving engraving = engrave(measure);
      std::size_t stroke = 0;
      Fraction now;
      for (const Piece& piece : engraving.pieces) {
        if (measure.strokes[piece.stroke].grace != Grace::none) continue;
        ASSERT_EQ(Fraction(piece.onset, grid.whole), now);
        if (piece.first) {
          ASSERT_EQ(measure.strokes[piece.stroke].onset, now);
        }
        ASSERT_GE(piece.stroke, stroke);
        stroke = piece.stroke;
        const Fraction duration(piece.duration, grid.whole);
        ASSERT_EQ(piece.duration % grid.division_ticks(), 0);
        if (!piece.measure_rest) {
          ASSERT_TRUE(piece.value) << "seed " << seed << " measure " << measure.number;
          Fraction printed = duration;
          for (const Tuplet& tuplet : measure.strokes[stroke].tuplets) {
            printed *= Fraction(tuplet.actual, tuplet.normal);
          }
          ASSERT_EQ(printed, Fraction(length_in_units(piece.value), value_units));
        }
        now += duration;
        if (piece.last) {
          ASSERT_EQ(measure.strokes[stroke].onset + measure.strokes[stroke].duration, now);
        }
      }
      ASSERT_EQ(now, measure.length);
    }
  }
}

// ---- beams -------------------------------------------------------------------------------------

TEST(Beaming, EighthsByHalvesInFourFour) {
  EXPECT_EQ(beams("4/4", "1/8 1/8 1/8 1/8 1/8 1/8 1/8 1/8"), "b c c e b c c e");
  EXPECT_EQ(beams("4/4", "1/4 1/8 1/8 1/8 1/8 1/4"), "- b e b e -");
  EXPECT_EQ(beams("4/4", "1/8 1/4 1/8 1/2"), "- - - -");
}

TEST(Beaming, SixteenthsByBeats) {
  EXPECT_EQ(beams("4/4", "1/16 1/16 1/16 1/16 1/16 1/16 1/8 1/2"), "bb cc cc ee bb ce e -");
  EXPECT_EQ(beams("2/4", "3/16 1/16 1/8 1/8"), "b ek b e");
  EXPECT_EQ(beams("2/4", "1/16 3/16 1/4"), "bf e -");
  EXPECT_EQ(beams("2/4", "1/16 1/8 1/16 1/4"), "bf c ek -");
}

TEST(Beaming, OtherSimpleMeters) {
  EXPECT_EQ(beams("2/4", "1/8 1/8 1/8 1/8"), "b c c e");
  EXPECT_EQ(beams("3/4", "1/8 1/8 1/8 1/8 1/8 1/8"), "b c c c c e");
  EXPECT_EQ(beams("3/4", "1/4 1/8 1/8 1/8 1/8"), "- b c c e");
  EXPECT_EQ(beams("3/4", "3/8 1/8 1/8 1/8"), "- - b e");
  EXPECT_EQ(beams("2/2", "1/8 1/8 1/8 1/8 1/8 1/8 1/8 1/8"), "b c c e b c c e");
  EXPECT_EQ(beams("3/8", "1/8 1/8 1/8"), "b c e");
}

TEST(Beaming, CompoundAndAdditiveByGroups) {
  EXPECT_EQ(beams("6/8", "1/8 1/8 1/8 1/8 1/8 1/8"), "b c e b c e");
  EXPECT_EQ(beams("6/8", "1/8 1/16 1/16 1/8 3/8"), "b cb ce e -");
  EXPECT_EQ(beams("9/8", "1/8 1/8 1/8 1/4 1/8 1/8 1/8 1/8"), "b c e - - b c e");
  EXPECT_EQ(beams("3+2/8", "1/8 1/8 1/8 1/8 1/8"), "b c e b e");
  EXPECT_EQ(beams("2+3/8", "1/8 1/8 1/8 1/8 1/8"), "b e b c e");
}

TEST(Beaming, RestsAndTupletsEndABeam) {
  EXPECT_EQ(beams("2/4", "1/8 r1/8 1/8 1/8"), "- - b e");
  EXPECT_EQ(beams("4/4", "r1/8 1/8 1/8 1/8 1/2"), "- - b e -");
  EXPECT_EQ(beams("2/4", "3:2[1/12 1/12 1/12] 1/8 1/8"), "b c e b e");
  EXPECT_EQ(beams("2/4", "3:2[1/12 1/12 1/12] 3:2[1/12 1/12 1/12]"), "b c e b c e");
}

TEST(Beaming, ThirtySecondsArePartedEveryEighth) {
  EXPECT_EQ(beams("1/4", "1/32 1/32 1/32 1/32 1/32 1/32 1/32 1/32"), "bbb ccc ccc cee cbb ccc ccc eee");
}

TEST(Beaming, TiedPartsAreBeamedLikeNotes) {
  EXPECT_EQ(beams("4/4", "1/8 1/8 1/8 1/4 1/8 1/8 1/8"), "b c c e b c c e");
}

TEST(Beaming, PickupsCountFromTheEnd) {
  Measure pickup = parse_measure("4/4", "1/8 1/8 1/8");
  pickup.implicit = true;
  const Engraving engraving = engrave(pickup);
  EXPECT_EQ(engraving.pieces[0].beams[0], Beam::none);
  EXPECT_EQ(engraving.pieces[1].beams[0], Beam::begin);
  EXPECT_EQ(engraving.pieces[2].beams[0], Beam::end);
}

TEST(Beaming, GraceNotesHaveTheirOwn) {
  EXPECT_EQ(beams("2/4", "1/8 g1/16 g1/16 1/8 1/4"), "b bb ee e -");
  EXPECT_EQ(beams("2/4", "g1/16 1/4 1/4"), "- - -");
}

// In every voice each beam that begins ends, and no level goes on without the one before it.
TEST(Beaming, EveryBeamThatBeginsEnds) {
  for (std::uint64_t seed = 1; seed <= 200; ++seed) {
    const Score score = testing::random_score(seed);
    for (const Measure& measure : score.measures) {
      for (const bool grace : {false, true}) {
        std::array<bool, 8> open{};
        for (const Piece& piece : engrave(measure).pieces) {
          if ((measure.strokes[piece.stroke].grace != Grace::none) != grace) continue;
          for (std::size_t level = 0; level < open.size(); ++level) {
            const Beam beam = piece.beams[level];
            const bool goes_on = beam == Beam::carry_on || beam == Beam::end;
            ASSERT_EQ(open[level], goes_on) << "seed " << seed << " measure " << measure.number;
            open[level] = beam == Beam::begin || beam == Beam::carry_on;
          }
        }
        for (const bool left_open : open) ASSERT_FALSE(left_open);
      }
    }
  }
}

// ---- tuplets -----------------------------------------------------------------------------------

TEST(Tuplets, KnowTheirUnitAndWhetherTheyNeedABracket) {
  const Engraving beamed = engrave(parse_measure("2/4", "3:2[1/12 1/12 1/12] 1/4"));
  ASSERT_EQ(beamed.groups.size(), 1U);
  EXPECT_EQ(name_of(beamed.groups[0].unit), "8");
  EXPECT_FALSE(beamed.groups[0].bracket);
  const Engraving mixed = engrave(parse_measure("2/4", "3:2[1/6 1/12] 1/4"));
  EXPECT_EQ(name_of(mixed.groups[0].unit), "8");
  EXPECT_TRUE(mixed.groups[0].bracket);
  const Engraving quarters = engrave(parse_measure("2/4", "3:2[1/6 1/6 1/6]"));
  EXPECT_EQ(name_of(quarters.groups[0].unit), "q");
  EXPECT_TRUE(quarters.groups[0].bracket);
}

TEST(Tuplets, Nest) {
  const Engraving nested = engrave(parse_measure("2/4", "3:2[1/6 3:2[1/18 1/18 1/18] 1/6]"));
  ASSERT_EQ(nested.groups.size(), 2U);
  EXPECT_EQ(nested.groups[0].first_piece, 0U);
  EXPECT_EQ(nested.groups[0].last_piece, 4U);
  EXPECT_EQ(name_of(nested.groups[0].unit), "q");
  EXPECT_EQ(nested.groups[1].level, 1U);
  EXPECT_EQ(nested.groups[1].first_piece, 1U);
  EXPECT_EQ(nested.groups[1].last_piece, 3U);
  EXPECT_EQ(name_of(nested.groups[1].unit), "8");
}

// ---- accidentals -------------------------------------------------------------------------------

TEST(AccidentalSigns, FollowTheSignature) {
  Accidentals accidentals;
  accidentals.start({2, Mode::major});
  EXPECT_EQ(accidentals.before({Step::F, 1, 4}), std::nullopt);
  EXPECT_EQ(accidentals.before({Step::C, 1, 5}), std::nullopt);
  EXPECT_EQ(accidentals.before({Step::G, 1, 4}), 1);
  EXPECT_EQ(accidentals.before({Step::C, 0, 5}), 0);
  accidentals.start({-3, Mode::major});
  EXPECT_EQ(accidentals.before({Step::B, -1, 4}), std::nullopt);
  EXPECT_EQ(accidentals.before({Step::E, -1, 4}), std::nullopt);
  EXPECT_EQ(accidentals.before({Step::A, -1, 4}), std::nullopt);
  EXPECT_EQ(accidentals.before({Step::D, -1, 4}), -1);
}

TEST(AccidentalSigns, HoldForTheMeasureInTheirOctave) {
  Accidentals accidentals;
  accidentals.start({0, Mode::major});
  EXPECT_EQ(accidentals.before({Step::F, 1, 4}), 1);
  EXPECT_EQ(accidentals.before({Step::F, 1, 4}), std::nullopt);
  EXPECT_EQ(accidentals.before({Step::F, 1, 5}), 1);
  EXPECT_EQ(accidentals.before({Step::F, 0, 4}), 0);
  EXPECT_EQ(accidentals.before({Step::F, 0, 4}), std::nullopt);
  accidentals.start({0, Mode::major});
  EXPECT_EQ(accidentals.before({Step::F, 1, 4}), 1);
}

TEST(AccidentalSigns, DoublesAndKeysAtTheEnds) {
  Accidentals accidentals;
  accidentals.start({7, Mode::major});
  for (const Step step : {Step::C, Step::D, Step::E, Step::F, Step::G, Step::A, Step::B}) {
    EXPECT_EQ(accidentals.before({step, 1, 4}), std::nullopt);
  }
  EXPECT_EQ(accidentals.before({Step::F, 2, 4}), 2);
  accidentals.start({-7, Mode::major});
  for (const Step step : {Step::C, Step::D, Step::E, Step::F, Step::G, Step::A, Step::B}) {
    EXPECT_EQ(accidentals.before({step, -1, 4}), std::nullopt);
  }
  EXPECT_EQ(accidentals.before({Step::B, -2, 4}), -2);
  EXPECT_EQ(accidentals.before({Step::B, 0, 4}), 0);
}

// ---- numbers -----------------------------------------------------------------------------------

}  // namespace
}  // namespace fifthpeg::engraving
