// No two things on a page run into each other, whatever the score is.
#include "formats/sheet/collisions.hpp"

#include <fstream>
#include <gtest/gtest.h>
#include <iterator>
#include <string>
#include <vector>

#include "fifthpeg/arrange.hpp"
#include "fifthpeg/edit.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/read.hpp"
#include "formats/sheet/layout/lay_out.hpp"
#include "property/random_score.hpp"

namespace fifthpeg {
namespace {

std::string all(const std::vector<std::string>& lines) {
  std::string text;
  for (const std::string& line : lines) text += line + "\n";
  return text;
}

void expect_no_collisions(const std::vector<Score>& pieces, const SheetOptions& options) {
  Report report;
  const sheet::Drawing drawing = sheet::lay_out(pieces, options, report);
  ASSERT_FALSE(drawing.pages.empty());
  for (std::size_t i = 0; i < drawing.pages.size(); ++i) {
    EXPECT_EQ(all(testing::collisions(drawing.pages[i])), "") << "page " << i + 1;
  }
}

class RandomSheets : public ::testing::TestWithParam<int> {};

TEST_P(RandomSheets, NothingCollides) {
  const auto seed = static_cast<std::uint64_t>(GetParam());
  testing::RandomScoreOptions random;
  random.nested_tuplets = seed % 5 == 0;
  const Score score = testing::RandomScore(seed, random).make();
  SheetOptions options;
  options.notation = seed % 2 == 0;
  options.fingers = seed % 3 == 0;
  options.chord_grids = seed % 3 != 1;
  options.landscape = seed % 4 == 0;
  options.paper = seed % 7 == 0 ? Paper::letter : Paper::a4;
  options.roles = true;
  expect_no_collisions({score}, options);
}

Score fixture(const std::string& name) {
  std::ifstream file(FIXTURES "/" + name, std::ios::binary);
  Score score = read(std::string(std::istreambuf_iterator<char>(file), {})).score;
  finger(score);
  return score;
}

TEST(Sheets, NothingCollidesOnAnyFixture) {
  for (const char* name :
       {"soldiers-joy.mid", "soldiers-joy.musicxml", "irish-washerwoman.mid", "boil-them-cabbage-down.mid",
        "lick-slide.musicxml", "lick-slide.mxl", "lick-choke.musicxml", "mailed-lick.txt"}) {
    SheetOptions options;
    options.chord_grids = options.fingers = options.shapes = true;
    for (const double size : {0.4, 1.0, 3.0}) {
      options.size = size;
      options.notation = !options.notation;
      expect_no_collisions({fixture(name)}, options);
    }
  }
}

// Where all that can be outlined is, two strings next to each other among it; where each stroke is of another
// role than the one before; and where a bracket goes on from line to line.
TEST(Sheets, NothingCollidesWithRoles) {
  for (std::uint64_t seed = 1; seed <= 60; ++seed) {
    Score score = testing::random_score(seed);
    std::size_t count = 0;
    for (Measure& measure : score.measures) {
      for (Stroke& stroke : measure.strokes) {
        ++count;
        for (Note& note : stroke.notes) {
          note.role = seed % 3 == 0   ? Role::melody
                      : seed % 3 == 1 ? static_cast<Role>(1 + count % 6)
                                      : Role::lick;
        }
      }
    }
    normalize(score);
    SheetOptions options;
    options.roles = true;
    options.notation = seed % 2 == 0;
    options.measures_a_line = seed % 4 == 0 ? 1 : 0;
    SCOPED_TRACE(seed);
    expect_no_collisions({score}, options);
  }
}

// Down to the shortest note value, alone in its measure, so that it has flags and no beams.
TEST(Sheets, NothingCollidesUnderTheFifthString) {
  for (const int part : {8, 16, 32, 64, 128, 256, 512}) {
    Score score;
    Measure& measure = score.measures.emplace_back();
    measure.meter = {{1}, part, Meter::Symbol::numbers};
    measure.length = {1, part};
    Stroke& stroke = measure.strokes.emplace_back();
    stroke.duration = measure.length;
    Note& note = stroke.notes.emplace_back();
    note.pitch = Pitch{Step::G, 0, 4};
    note.placement = Placement{5, 0};
    normalize(score);
    SCOPED_TRACE(part);
    expect_no_collisions({score}, {});
  }
}

TEST(Sheets, NothingCollidesOnArrangements) {
  for (const char* name : {"boil-them-cabbage-down.mid", "soldiers-joy.musicxml", "irish-washerwoman.mid"}) {
    for (const Style style : {Style::roll, Style::clawhammer}) {
      ArrangeOptions arranging;
      arranging.style = style;
      const Score score = arrange(fixture(name), arranging).score;
      ASSERT_TRUE(has_role(score, Role::melody)) << name;
      SheetOptions options;
      options.roles = options.fingers = options.chord_grids = true;
      for (const double size : {0.4, 1.0, 3.0}) {
        options.size = size;
        options.notation = !options.notation;
        expect_no_collisions({score}, options);
      }
    }
  }
}

// Measures of even strokes up and down the strings.
Score strokes(int measures, int in_a_measure) {
  Score score;
  score.work.title = "Hard case";
  for (int m = 0; m < measures; ++m) {
    Measure measure;
    measure.number = std::to_string(m + 1);
    measure.length = 1;
    for (int i = 0; i < in_a_measure; ++i) {
      Stroke stroke;
      stroke.onset = Fraction(i, in_a_measure);
      stroke.duration = Fraction(1, in_a_measure);
      Note note;
      note.pitch = {static_cast<Step>(i % 7), 0, 4};
      note.placement = Placement{static_cast<std::int8_t>(1 + i % 4), static_cast<std::int8_t>((i + m) % 22)};
      note.picking_finger = static_cast<PickingFinger>(i % 3);
      stroke.notes.push_back(note);
      measure.strokes.push_back(stroke);
    }
    score.measures.push_back(measure);
  }
  return score;
}

class HardSheets : public ::testing::TestWithParam<bool> {
 protected:
  void draw(const Score& score) const {
    SheetOptions options;
    options.notation = GetParam();
    expect_no_collisions({score}, options);
  }
};

TEST_P(HardSheets, AMeasureOf200Notes) {
  draw(strokes(2, 200));
}
TEST_P(HardSheets, ATuneOf400Measures) {
  draw(strokes(400, 8));
}
TEST_P(HardSheets, ALickOfOneBeat) {
  Score score = strokes(1, 4);
  score.measures[0].strokes.resize(1);
  score.measures[0].length = Fraction(1, 4);
  draw(score);
}
TEST_P(HardSheets, TitlesOf500Characters) {
  Score score = strokes(4, 8);
  score.work.title = std::string(500, 'W');
  score.work.rights = score.work.composer = score.work.title;
  draw(score);
  for (std::size_t i = 5; i < 500; i += 9) score.work.title.at(i) = ' ';
  score.work.rights = score.work.composer = score.work.title;
  draw(score);
}
TEST_P(HardSheets, TextFromRightToLeftAndWithoutFont) {
  Score score = strokes(4, 8);
  score.work.title = "\u05e9\u05d9\u05e8 \u05d4\u05d1\u05e0\u05d2\u05f3\u05d5";
  score.work.composer = "\u0645\u0648\u0633\u064a\u0642\u0649";
  score.measures[0].strokes[0].lyrics.push_back({"1", Syllabic::single, "\u0645\u0631\u062d\u0628\u0627"});
  score.measures[1].directions.push_back({0, Direction::Kind::words, "\u6f22\u5b57 \u0378"});
  draw(score);
}
TEST_P(HardSheets, NoTitle) {
  Score score = strokes(4, 8);
  score.work = {};
  draw(score);
}
TEST_P(HardSheets, ElevenLongChordSymbolsInAMeasure) {
  Score score = strokes(2, 8);
  for (int i = 0; i < 11; ++i) {
    ChordSymbol chord;
    chord.at = Fraction(i, 11);
    chord.kind = "major-13th";
    chord.text = "maj7(add9,#11,13)";
    chord.bass = ChordTone{Step::F, 1};
    score.measures[0].chords.push_back(chord);
  }
  draw(score);
}
TEST_P(HardSheets, LongWordsAndLyrics) {
  Score score = strokes(3, 8);
  score.measures[0].directions.push_back({0, Direction::Kind::words, std::string(300, 'w')});
  score.measures[1].directions.push_back({Fraction(1, 2), Direction::Kind::rehearsal, std::string(200, 'R')});
  score.measures[1].strokes[2].lyrics.push_back({"1", Syllabic::single, std::string(120, 'l')});
  draw(score);
}

INSTANTIATE_TEST_SUITE_P(TabAloneAndWithNotation, HardSheets, ::testing::Bool());

INSTANTIATE_TEST_SUITE_P(Seeds, RandomSheets, ::testing::Range(1, 400));

}  // namespace
}  // namespace fifthpeg
