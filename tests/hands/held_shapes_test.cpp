// The shapes that the fingers of a score hold, by name. Which fingers make which shape: common practice.
#include <gtest/gtest.h>
#include <string>
#include <string_view>
#include <vector>

#include "fifthpeg/banjo.hpp"
#include "fifthpeg/hands.hpp"
#include "hands/scores.hpp"

namespace fifthpeg {
namespace {

struct Fingered {
  int string;
  int fret;
  int finger;  // 0 for an open string
};

// One stroke a note.
std::vector<std::string> shapes_of(const std::vector<Fingered>& notes, std::string_view tuning = "open-g") {
  Score score = testing::passage("G3");
  score.banjo.tuning = *parse_tuning(tuning);
  std::vector<Stroke>& strokes = score.measures[0].strokes;
  strokes.clear();
  for (const Fingered& one : notes) {
    Stroke& stroke = strokes.emplace_back();
    stroke.onset = Fraction(static_cast<std::int64_t>(strokes.size()) - 1, 8);
    stroke.duration = Fraction(1, 8);
    Note& note = stroke.notes.emplace_back();
    note.placement = Placement{static_cast<std::int8_t>(one.string), static_cast<std::int8_t>(one.fret)};
    note.pitch = spell(*score.banjo.midi_at(*note.placement), Key{1, Mode::major});
    if (one.finger > 0) note.finger = static_cast<FretFinger>(one.finger);
  }
  score.measures[0].length = Fraction(static_cast<std::int64_t>(notes.size()), 8);
  std::vector<std::string> texts;
  for (const HeldShape& shape : held_shapes(score)) texts.push_back(shape.text);
  return texts;
}

using Texts = std::vector<std::string>;

TEST(HeldShapes, TheThreeMovableChordShapes) {
  EXPECT_EQ(shapes_of({{3, 5, 1}, {2, 5, 1}, {5, 0, 0}, {1, 5, 1}}), Texts{"C (bar, 5)"});
  EXPECT_EQ(shapes_of({{3, 2, 2}, {2, 1, 1}, {1, 3, 4}, {4, 3, 3}}), Texts{"F (F shape, 1)"});
  EXPECT_EQ(shapes_of({{3, 7, 1}, {2, 8, 2}, {5, 0, 0}, {1, 9, 4}}), Texts{"G (D shape, 7)"});
  EXPECT_EQ(shapes_of({{4, 5, 1}, {3, 7, 2}, {2, 8, 3}, {1, 9, 4}}), Texts{"G (D shape, root low, 5)"});
}

TEST(HeldShapes, OpenChords) {
  EXPECT_EQ(shapes_of({{4, 2, 2}, {3, 0, 0}, {2, 1, 1}, {1, 2, 3}}), Texts{"C (open)"});
  EXPECT_EQ(shapes_of({{3, 2, 2}, {2, 1, 1}, {1, 0, 0}, {4, 0, 0}}), Texts{"D7 (open)"});
  EXPECT_EQ(shapes_of({{4, 2, 2}, {3, 0, 0}, {2, 0, 0}, {1, 2, 3}}), Texts{"Em (open)"});
}

TEST(HeldShapes, OneAfterTheOther) {
  EXPECT_EQ(shapes_of({{2, 8, 2}, {3, 7, 1}, {1, 9, 4}, {1, 0, 0}, {3, 5, 1}, {2, 5, 1}}),
            (Texts{"G (D shape, 7)", "C (bar, 5)"}));
}

TEST(HeldShapes, ASingleFingerIsNoShape) {
  EXPECT_TRUE(shapes_of({{3, 2, 2}, {3, 0, 0}, {1, 0, 0}}).empty());
}

TEST(HeldShapes, TwoNotesBesideTheRootAreNoChord) {
  EXPECT_EQ(shapes_of({{3, 5, 1}, {4, 7, 3}}), Texts{"D shape, 5"});
}

TEST(HeldShapes, DoubleStops) {
  EXPECT_EQ(shapes_of({{2, 8, 1}, {1, 9, 2}}), Texts{"third on 1 and 2, 8"});
  EXPECT_EQ(shapes_of({{3, 4, 1}, {1, 5, 2}}), Texts{"sixth on 1 and 3, 4"});
}

// A and C above an open D are D7's wherever the fourth string is; by themselves they are no chord yet.
TEST(HeldShapes, AreNamedByWhatSounds) {
  EXPECT_EQ(shapes_of({{3, 2, 2}, {2, 1, 1}, {1, 0, 0}}), Texts{"D7 (open)"});
  EXPECT_EQ(shapes_of({{3, 2, 2}, {2, 1, 1}, {1, 0, 0}}, "c"), Texts{"D7 (open)"});
  EXPECT_EQ(shapes_of({{3, 2, 2}, {2, 1, 1}}), Texts{"third on 2 and 3, 1"});
  EXPECT_TRUE(shapes_of({{2, 1, 1}, {1, 2, 4}}).empty());
  EXPECT_EQ(shapes_of({{2, 1, 1}, {3, 2, 2}, {4, 2, 3}, {1, 2, 4}}), Texts{"Am (open)"});
}

TEST(HeldShapes, OfOtherTunings) {
  EXPECT_EQ(shapes_of({{3, 2, 2}, {2, 0, 0}, {1, 3, 3}}, "double-c"), Texts{"F (open)"});
  EXPECT_EQ(shapes_of({{4, 2, 1}, {3, 2, 1}, {2, 2, 1}, {1, 4, 3}}, "double-c"), Texts{"D (bar, 2)"});
  EXPECT_EQ(shapes_of({{4, 3, 3}, {3, 2, 2}, {2, 0, 0}, {1, 3, 4}}, "modal-g"), Texts{"F (open)"});
  EXPECT_EQ(shapes_of({{3, 5, 2}, {2, 4, 1}, {1, 6, 3}}, "c"), Texts{"G# (F shape, 4)"});
  EXPECT_EQ(shapes_of({{3, 1, 1}, {2, 2, 2}, {1, 0, 0}}, "d"), Texts{"G (open)"});
  EXPECT_EQ(shapes_of({{4, 2, 2}, {3, 1, 1}, {2, 0, 0}, {1, 2, 3}}, "open-d"), Texts{"A7 (open)"});
  EXPECT_EQ(shapes_of({{4, 2, 2}, {3, 1, 1}, {2, 2, 3}, {1, 2, 4}}, "open-d"), Texts{"Em (minor shape, 1)"});
}

// Common practice: the ring finger takes string 1 at fret 2 in a C chord, the middle finger the same in
// passing.
TEST(ChordSymbols, FavorTheShapeOfTheirChord) {
  Score score = testing::passage("E4 G3 E4 G3");
  finger(score);
  EXPECT_EQ(score.measures[0].strokes[0].notes[0].finger, FretFinger::middle);
  score = testing::passage("E4 G3 E4 G3");
  score.measures[0].chords.push_back(*parse_chord_symbol("C"));
  finger(score);
  EXPECT_EQ(score.measures[0].strokes[0].notes[0].finger, FretFinger::ring);
  ASSERT_EQ(score.measures[0].strokes[0].notes[0].placement, (Placement{1, 2}));
}

// Moved along with a capo, the chord's shape is the same.
TEST(ChordSymbols, MoveWithThePiece) {
  Score score = testing::passage("E4 G3 E4 G3");
  score.measures[0].chords.push_back(*parse_chord_symbol("C"));
  score.banjo.capo = 2;
  score.banjo.fifth_capo = usual_fifth_capo(2);
  HandsOptions options;
  options.transpose = 2;
  finger(score, options);
  EXPECT_EQ(score.measures[0].strokes[0].notes[0].finger, FretFinger::ring);
  EXPECT_EQ(score.measures[0].strokes[0].notes[0].placement, (Placement{1, 2}));
}

}  // namespace
}  // namespace fifthpeg
