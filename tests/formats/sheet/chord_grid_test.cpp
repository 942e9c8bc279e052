// Chord grids on a sheet: where there is one, and what it shows.
#include "formats/sheet/layout/chord_grid.hpp"

#include <algorithm>
#include <gtest/gtest.h>
#include <string>
#include <string_view>
#include <vector>

#include "fifthpeg/hands.hpp"
#include "formats/sheet/layout/lay_out.hpp"
#include "hands/scores.hpp"

namespace fifthpeg::sheet {
namespace {

// A measure of open strings for each chord symbol.
Score with_chords(const std::vector<std::string_view>& symbols) {
  std::string words;
  for (std::size_t i = 0; i < symbols.size(); ++i) words += "G3 B3 D4 G4 G3 B3 D4 G4 ";
  Score score = testing::passage(words);
  for (std::size_t i = 0; i < symbols.size(); ++i) {
    score.measures[i].chords.push_back(parse_chord_symbol(symbols[i]).value());
  }
  finger(score);
  return score;
}

struct Laid {
  Drawing drawing;
  Report report;

  std::vector<Mark> grids() const {
    std::vector<Mark> found;
    for (const Page& page : drawing.pages) {
      for (const Mark& mark : page.marks) {
        if (mark.kind == Kind::chord_grid) found.push_back(mark);
      }
    }
    return found;
  }
  // What stands in the grids, in order.
  std::string numbers() const {
    std::string numbers;
    for (const Mark& mark : grids()) {
      if (const auto* text = std::get_if<Text>(&mark.shape)) numbers += text->text + " ";
    }
    return numbers;
  }
  std::vector<Circle> circles(bool filled) const {
    std::vector<Circle> found;
    for (const Mark& mark : grids()) {
      const auto* circle = std::get_if<Circle>(&mark.shape);
      if (circle != nullptr && circle->filled == filled) found.push_back(*circle);
    }
    return found;
  }
  std::vector<Line> lines(bool upright) const {
    std::vector<Line> found;
    for (const Mark& mark : grids()) {
      const auto* line = std::get_if<Line>(&mark.shape);
      if (line == nullptr) continue;
      if (upright ? line->from.x == line->to.x : line->from.y == line->to.y) found.push_back(*line);
    }
    return found;
  }
};

Laid laid_out(const Score& score, SheetOptions options = {}) {
  options.chord_grids = true;
  Laid laid;
  laid.drawing = lay_out({score}, options, laid.report);
  return laid;
}

TEST(ChordGrids, AreDrawnOnRequestOnly) {
  Report report;
  const Laid plain{lay_out({with_chords({"C"})}, {}, report), {}};
  EXPECT_TRUE(plain.grids().empty());
  EXPECT_FALSE(laid_out(with_chords({"C"})).grids().empty());
}

TEST(ChordGrids, StandAtTheFirstUseOfEachChord) {
  const std::size_t once = laid_out(with_chords({"C", "G"})).grids().size();
  EXPECT_EQ(laid_out(with_chords({"C", "G", "C", "G", "C"})).grids().size(), once);
}

TEST(ChordGrids, StandOverTheWholePieceAndNotOverItsPhrasesAgain) {
  SheetOptions options;
  options.phrases = true;
  options.measures_a_phrase = 1;
  const Score score = with_chords({"C", "G"});
  EXPECT_EQ(laid_out(score, options).grids().size(), laid_out(score).grids().size());
}

TEST(ChordGrids, SayWhichFingersWhichStringsAndWhichFret) {
  const Laid c = laid_out(with_chords({"C"}));
  EXPECT_EQ(c.numbers(), "3 1 2 ");  // from string 1 on
  EXPECT_EQ(c.circles(true).size(), 3);
  EXPECT_EQ(c.circles(false).size(), 2);  // the third string and the fifth
  const Laid b_minor = laid_out(with_chords({"Bm"}));
  EXPECT_EQ(b_minor.numbers(), "7 4 1 1 3 ");  // the first fret, then the fingers
  EXPECT_EQ(b_minor.circles(true).size(), 2);  // and a bar
  EXPECT_TRUE(b_minor.circles(false).empty());
}

TEST(ChordGrids, HaveAFifthStringThatBeginsAtItsFifthFret) {
  const auto lowest_first = [](const Line& a, const Line& b) { return a.from.x < b.from.x; };
  const auto top_first = [](const Line& a, const Line& b) { return a.from.y < b.from.y; };
  for (const auto& [symbol, fret] : {std::pair("C", 5), std::pair("E", 2), std::pair("Bm", 0)}) {
    const Laid laid = laid_out(with_chords({symbol}));
    std::vector<Line> strings = laid.lines(true);
    std::vector<Line> frets = laid.lines(false);
    ASSERT_EQ(strings.size(), 5) << symbol;
    ASSERT_EQ(frets.size(), 6) << symbol;
    std::sort(strings.begin(), strings.end(), lowest_first);
    std::sort(frets.begin(), frets.end(), top_first);
    EXPECT_DOUBLE_EQ(strings[0].from.y, frets[static_cast<std::size_t>(fret)].from.y) << symbol;
    // Frets reach it from there on.
    for (std::size_t i = 0; i < frets.size(); ++i) {
      EXPECT_EQ(frets[i].from.x < strings[0].from.x, i >= static_cast<std::size_t>(fret))
          << symbol << " " << i;
    }
  }
}

TEST(ChordGrids, OfALineStandAtOneHeightUnderTheirSymbols) {
  const Laid laid = laid_out(with_chords({"C", "Am"}));
  double highest = 1000;
  for (const Mark& mark : laid.grids()) highest = std::min(highest, mark.box.top);
  std::vector<double> tops;
  for (const Line& line : laid.lines(true)) tops.push_back(line.from.y);
  EXPECT_EQ(std::count(tops.begin(), tops.end(), tops.front()), 8);  // two grids of four long strings
  for (const Mark& mark : laid.drawing.pages.front().marks) {
    if (mark.kind == Kind::chord_symbol) {
      EXPECT_LT(mark.box.bottom, highest);
    }
  }
}

TEST(ChordGrids, AreReportedWhereThereIsNone) {
  const Laid laid = laid_out(with_chords({"N.C.", "G13", "C", "G13"}));
  ASSERT_EQ(laid.report.entries().size(), 1);
  const Entry& entry = laid.report.entries().front();
  EXPECT_EQ(entry.slug, "sheet-chord-grid");
  EXPECT_EQ(entry.kind, EntryKind::loss);
  EXPECT_EQ(entry.count, 1);
  EXPECT_EQ(to_string(entry.places.at(0)), "measure 2, beat 1");
}

}  // namespace
}  // namespace fifthpeg::sheet
