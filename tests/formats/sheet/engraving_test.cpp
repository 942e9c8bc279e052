// What hurts the eye of a reader, in small scores made for it.
#include <algorithm>
#include <gtest/gtest.h>
#include <string>
#include <tuple>
#include <vector>

#include "engraving/wording.hpp"
#include "formats/sheet/layout/lay_out.hpp"
#include "formats/sheet/layout/sizes.hpp"
#include "formats/sheet/small_scores.hpp"

namespace fifthpeg::sheet {
namespace {

using testing::marks_of;
using testing::note_on;
using testing::quarters;
using testing::stroke_at;

// Between the staves a number would be read with the letters of hammer-ons and slides.
TEST(Engraving, NumbersOfMeasuresStandOverTheNotation) {
  SheetOptions options;
  options.notation = true;
  const Score score = quarters(12);
  const std::vector<Mark> lines = marks_of(score, options, Kind::staff_line);
  const std::vector<Mark> numbers = marks_of(score, options, Kind::measure_number);
  ASSERT_FALSE(numbers.empty());
  const auto by_left = [](const Mark& a, const Mark& b) { return a.box.left < b.box.left; };
  const double left = std::min_element(lines.begin(), lines.end(), by_left)->box.left;
  const double gap = Sizes(1).string_gap;
  EXPECT_NEAR(numbers.front().box.left, left, gap);
  double first_staff = lines.front().box.top;
  for (const Mark& line : lines) first_staff = std::min(first_staff, line.box.top);
  EXPECT_LT(numbers.front().box.bottom, first_staff);
}

// Over tab it reads as an open string.
TEST(Engraving, APickupHasNoNumber) {
  Score score = quarters(2);
  score.measures[0].number = "0";
  score.measures[1].number = "1";
  const std::vector<Mark> numbers = marks_of(score, {}, Kind::measure_number);
  ASSERT_EQ(numbers.size(), 1U);
  EXPECT_EQ(std::get<Text>(numbers[0].shape).text, "1");
}

// A pinch of three fingers must not part the other notes' fingers from them.
TEST(Engraving, FretFingersStandUnderTheirPickingFingers) {
  Score score = quarters(1);
  for (Stroke& stroke : score.measures[0].strokes) {
    stroke.notes[0].placement->fret = 2;
    stroke.notes[0].finger = FretFinger::middle;
    stroke.notes[0].picking_finger = PickingFinger::index;
  }
  Stroke& pinch = score.measures[0].strokes[2];
  for (const int string : {3, 4}) {
    pinch.notes.push_back(note_on(string, 2));
    pinch.notes.back().picking_finger = string == 3 ? PickingFinger::middle : PickingFinger::thumb;
  }
  SheetOptions options;
  options.fingers = true;
  const std::vector<Mark> fingers = marks_of(score, options, Kind::fret_finger);
  const std::vector<Mark> picking = marks_of(score, options, Kind::picking_finger);
  ASSERT_EQ(fingers.size(), 4U);
  ASSERT_EQ(picking.size(), 6U);
  const double letter = picking.front().box.height();
  EXPECT_LT(fingers[0].box.top, picking[0].box.bottom + letter);
  EXPECT_NEAR(fingers[3].box.bottom, fingers[0].box.bottom, 1e-6);
  EXPECT_GT(fingers[2].box.top, picking[4].box.bottom);
}

// Whatever the size, "Tempo: quarter =" must not end a line whose number begins the next.
TEST(Engraving, WhatStandsOverAPieceIsBrokenBetweenItsItems) {
  Score score = quarters(1);
  Tempo tempo;
  tempo.quarters_per_minute = 100;
  score.measures[0].key = {1, Mode::major};
  score.measures[0].tempos.push_back(tempo);
  std::size_t most_lines = 0;
  for (int tenths = 10; tenths <= 20; ++tenths) {
    SheetOptions options;
    options.size = tenths / 10.0;
    const std::vector<Mark> lines = marks_of(score, options, Kind::set_up);
    most_lines = std::max(most_lines, lines.size());
    const std::vector<std::string> items = engraving::set_up_items(score);
    for (const Mark& mark : lines) {
      const std::string& line = std::get<Text>(mark.shape).text;
      const auto begins = [&line](const std::string& item) { return line.starts_with(item); };
      const auto ends = [&line](const std::string& item) { return line.ends_with(item); };
      EXPECT_TRUE(std::any_of(items.begin(), items.end(), begins)) << line;
      EXPECT_TRUE(std::any_of(items.begin(), items.end(), ends)) << line;
    }
  }
  EXPECT_GT(most_lines, 1U);
}

// The stem stands between heads on one place or a second apart, whichever way it goes.
TEST(Engraving, StemsStandBetweenHeadsASecondApart) {
  for (const auto& [upper, lower, up] : {std::tuple{Pitch{Step::G, 0, 5}, Pitch{Step::G, 0, 5}, false},
                                         std::tuple{Pitch{Step::G, 0, 5}, Pitch{Step::F, 0, 5}, false},
                                         std::tuple{Pitch{Step::F, 0, 3}, Pitch{Step::E, 0, 3}, true}}) {
    Score score = quarters(1);
    score.measures[0].strokes = {stroke_at(0, Fraction(1, 4), {note_on(1, 5, upper), note_on(5, 0, lower)})};
    score.measures[0].length = Fraction(1, 4);
    SheetOptions options;
    options.notation = true;
    const std::vector<Mark> heads = marks_of(score, options, Kind::note_head);
    ASSERT_EQ(heads.size(), 2U);
    std::vector<Mark> stems = marks_of(score, options, Kind::stem);
    const auto on_staff = [&heads](const Mark& stem) {
      return stem.box.top < heads[1].box.bottom && stem.box.bottom > heads[0].box.top;
    };
    const auto stem = std::find_if(stems.begin(), stems.end(), on_staff);
    ASSERT_NE(stem, stems.end());
    const double x = (stem->box.left + stem->box.right) / 2;
    EXPECT_GT((heads[0].box.left + heads[0].box.right) / 2, x);
    EXPECT_LT((heads[1].box.left + heads[1].box.right) / 2, x);
    EXPECT_EQ(stem->box.top < heads[0].box.top, up);
  }
}

// A slur belongs to its notes, a tie to the room between them.
TEST(Engraving, SlursOfTheNotationReachFromHeadToHead) {
  for (const int octave : {3, 5}) {  // with stems up and down
    Score score = quarters(1);
    auto& strokes = score.measures[0].strokes;
    for (Stroke& stroke : strokes) stroke.notes[0].pitch = {Step::D, 0, static_cast<std::int8_t>(octave)};
    strokes[1].notes[0].into = Technique::hammer_on;
    strokes[3].notes[0].tied_from_previous = true;
    SheetOptions options;
    options.notation = true;
    const std::vector<Mark> heads = marks_of(score, options, Kind::note_head);
    const std::vector<Mark> slurs = marks_of(score, options, Kind::slur);
    const std::vector<Mark> ties = marks_of(score, options, Kind::tie);
    ASSERT_EQ(heads.size(), 4U);
    ASSERT_EQ(slurs.size(), 2U);  // on both staves
    ASSERT_EQ(ties.size(), 2U);
    const auto on_staff = [](const std::vector<Mark>& arcs) {
      return arcs[0].box.top < arcs[1].box.top ? arcs[0].box : arcs[1].box;
    };
    const Box slur = on_staff(slurs);
    EXPECT_NEAR(slur.left, (heads[0].box.left + heads[0].box.right) / 2, 0.1);
    EXPECT_NEAR(slur.right, (heads[1].box.left + heads[1].box.right) / 2, 0.1);
    EXPECT_TRUE(slur.top > heads[0].box.bottom || slur.bottom < heads[0].box.top);
    EXPECT_GT(on_staff(ties).left, heads[2].box.right);
    EXPECT_LT(on_staff(ties).right, heads[3].box.left);
  }
}

TEST(Engraving, ATieFromTheLineBeforeBeginsBehindTheMeter) {
  for (const bool notation : {false, true}) {
    Score score = quarters(2);
    score.measures[1].meter.beats = {3};
    score.measures[1].length = Fraction(3, 4);
    score.measures[1].strokes.pop_back();
    score.measures[1].strokes[0].notes[0] = score.measures[0].strokes[3].notes[0];
    score.measures[1].strokes[0].notes[0].tied_from_previous = true;
    SheetOptions options;
    options.measures_a_line = 1;
    options.notation = notation;
    const std::vector<Mark> ties = marks_of(score, options, Kind::tie);
    double end_of_meter = 0;
    for (const Mark& digit : marks_of(score, options, Kind::meter)) {
      if (std::get<Text>(digit.shape).text == "3") end_of_meter = std::max(end_of_meter, digit.box.right);
    }
    ASSERT_EQ(ties.size(), notation ? 4U : 2U);  // on both lines
    const auto by_left = [](const Mark& a, const Mark& b) { return a.box.left < b.box.left; };
    EXPECT_GT(std::min_element(ties.begin(), ties.end(), by_left)->box.left, end_of_meter);
  }
}

TEST(Engraving, NothingOverTheTabHangsOverItsEnd) {
  Score score = quarters(1);
  auto& strokes = score.measures[0].strokes;
  strokes[3].duration = Fraction(3, 16);
  strokes.push_back(stroke_at(Fraction(15, 16), Fraction(1, 16), {note_on(2, 0)}));
  strokes.back().notes[0].ring = Ring::let_ring;
  const std::vector<Mark> rings = marks_of(score, {}, Kind::ring);
  ASSERT_FALSE(rings.empty());
  double end = 0;
  for (const Mark& line : marks_of(score, {}, Kind::barline)) end = std::max(end, line.box.right);
  for (const Mark& ring : rings) EXPECT_LE(ring.box.right, end + 0.1);
}

// What is over the first note of a beamed triplet stands no higher for the number in its middle.
TEST(Engraving, TheNumberOfABeamedTupletStandsAlone) {
  Score score = quarters(1);
  auto& strokes = score.measures[0].strokes;
  strokes.erase(strokes.begin());
  for (int i = 2; i >= 0; --i) {
    Stroke stroke = stroke_at(Fraction(i, 12), Fraction(1, 12), {note_on(2, i)});
    Tuplet tuplet;
    tuplet.actual = 3;
    tuplet.normal = 2;
    tuplet.starts = i == 0;
    tuplet.stops = i == 2;
    stroke.tuplets.push_back(tuplet);
    strokes.insert(strokes.begin(), stroke);
  }
  ChordSymbol chord;
  chord.root = {Step::G, 0};
  score.measures[0].chords.push_back(chord);
  SheetOptions options;
  options.notation = true;
  const std::vector<Mark> numbers = marks_of(score, options, Kind::tuplet);
  const std::vector<Mark> chords = marks_of(score, options, Kind::chord_symbol);
  ASSERT_EQ(numbers.size(), 2U);  // on both staves, without brackets
  ASSERT_EQ(chords.size(), 1U);
  EXPECT_GT(chords[0].box.bottom, std::min(numbers[0].box.top, numbers[1].box.top));
}

}  // namespace
}  // namespace fifthpeg::sheet
