// All that a score has stands on its sheet, once, in order and in its place.
#include <fstream>
#include <gtest/gtest.h>
#include <iterator>
#include <map>
#include <set>

#include "engraving/wording.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/read.hpp"
#include "formats/sheet/layout/columns.hpp"
#include "formats/sheet/layout/lay_out.hpp"
#include "formats/sheet/layout/sizes.hpp"
#include "formats/sheet/small_scores.hpp"
#include "property/random_score.hpp"

namespace fifthpeg {
namespace {

using sheet::Kind;
using sheet::Mark;

using testing::marks_of;
using testing::texts_of;

Score read_fixture(const std::string& name) {
  std::ifstream file(FIXTURES "/" + name, std::ios::binary);
  return read(std::string(std::istreambuf_iterator<char>(file), {})).score;
}

Score random_score(std::uint64_t seed) {
  testing::RandomScoreOptions options;
  options.measures = 12;
  return testing::RandomScore(seed, options).make();
}

class SheetContents : public ::testing::TestWithParam<int> {
 protected:
  Score score_ = random_score(static_cast<std::uint64_t>(GetParam()));
  SheetOptions options_;
  Report report_;
};

// A number of a fret may stand several times: where its note goes on in another printed value, in brackets.
TEST_P(SheetContents, EveryNoteIsAFretNumberOnItsString) {
  const sheet::Drawing drawing = sheet::lay_out({score_}, options_, report_);
  std::map<std::pair<std::size_t, std::size_t>, std::vector<Mark>> by_stroke;
  for (const Mark& mark : marks_of(drawing, Kind::fret)) {
    ASSERT_TRUE(mark.stroke);
    by_stroke[{mark.stroke->measure, mark.stroke->stroke}].push_back(mark);
  }
  const double gap = sheet::Sizes(1).string_gap;
  std::size_t strokes = 0;
  for (std::size_t m = 0; m < score_.measures.size(); ++m) {
    const auto& measure = score_.measures[m];
    for (std::size_t s = 0; s < measure.strokes.size(); ++s) {
      const Stroke& stroke = measure.strokes[s];
      if (stroke.is_rest()) continue;
      ++strokes;
      const auto& marks = by_stroke[{m, s}];
      ASSERT_GE(marks.size(), stroke.notes.size()) << "measure " << m << " stroke " << s;
      ASSERT_EQ(marks.size() % stroke.notes.size(), 0U);
      for (std::size_t n = 0; n < stroke.notes.size(); ++n) {
        const Note& note = stroke.notes[n];
        EXPECT_EQ(std::get<sheet::Text>(marks[n].shape).text, sheet::fret_text(note, false));
        // In their order from string to string: a string gap is one string.
        const double y = (marks[n].box.top + marks[n].box.bottom) / 2;
        const double first = (marks[0].box.top + marks[0].box.bottom) / 2;
        const int apart = note.placement->string - stroke.notes[0].placement->string;
        EXPECT_NEAR(y - first, apart * gap, 1e-6);
      }
    }
  }
  EXPECT_EQ(by_stroke.size(), strokes);
}

TEST_P(SheetContents, FretNumbersComeInTheOrderOfTheMusic) {
  const sheet::Drawing drawing = sheet::lay_out({score_}, options_, report_);
  std::pair<std::uint32_t, std::uint32_t> last{0, 0};
  for (const sheet::Page& page : drawing.pages) {
    double x = 0;
    double y = 0;
    for (const Mark& mark : page.marks) {
      if (mark.kind != Kind::fret) continue;
      const std::pair here(mark.stroke->measure, mark.stroke->stroke);
      EXPECT_GE(here, last);
      const double middle = (mark.box.left + mark.box.right) / 2;
      const bool new_line = mark.box.top > y + 5 * sheet::Sizes(1).string_gap;
      if (here != last && !new_line) {
        EXPECT_GT(middle, x);
      }
      x = middle;
      y = std::max(y, mark.box.top);
      last = here;
    }
  }
}

TEST_P(SheetContents, FingersWordsAndChordsStandOnIt) {
  options_.fingers = true;
  const sheet::Drawing drawing = sheet::lay_out({score_}, options_, report_);
  std::multiset<std::string> picking, fingers, chords, lyrics, numbers;
  std::size_t rests = 0;
  for (const Measure& measure : score_.measures) {
    if (!measure.implicit && !measure.number.empty()) numbers.insert(measure.number);
    for (const ChordSymbol& chord : measure.chords) chords.insert(to_string(chord));
    for (const Stroke& stroke : measure.strokes) {
      rests += stroke.is_rest() ? 1 : 0;
      for (const Lyric& lyric : stroke.lyrics) lyrics.insert(lyric.text);
      for (const Note& note : stroke.notes) {
        if (note.picking_finger) picking.emplace(engraving::picking_letter(*note.picking_finger));
        if (note.finger && !finger_is_plain(note)) fingers.emplace(engraving::finger_sign(*note.finger));
      }
    }
  }
  const auto drawn = [&drawing](Kind kind) {
    const auto texts = texts_of(drawing, kind);
    return std::multiset<std::string>(texts.begin(), texts.end());
  };
  EXPECT_EQ(drawn(Kind::picking_finger), picking);
  EXPECT_EQ(drawn(Kind::fret_finger), fingers);
  EXPECT_EQ(drawn(Kind::chord_symbol), chords);
  std::multiset<std::string> syllables = drawn(Kind::lyric);
  syllables.erase("-");
  EXPECT_EQ(syllables, lyrics);
  EXPECT_EQ(drawn(Kind::measure_number), numbers);
  EXPECT_GE(marks_of(drawing, Kind::rest).size(), rests);
}

// They are long, and holes in the tab would mislead about its rhythm.
TEST(SheetShapes, TheirNamesTakeNoRoomFromTheMusic) {
  Score score = read_fixture("irish-washerwoman.mid");
  finger(score);
  ASSERT_FALSE(held_shapes(score).empty());
  Report report;
  SheetOptions options;
  options.shapes = true;
  const sheet::Drawing drawing = sheet::lay_out({score}, options, report);
  const sheet::Drawing without = sheet::lay_out({score}, {}, report);
  const auto named = marks_of(drawing, Kind::fret);
  const auto other = marks_of(without, Kind::fret);
  ASSERT_EQ(named.size(), other.size());
  for (std::size_t i = 0; i < named.size(); ++i) EXPECT_EQ(named[i].box.left, other[i].box.left);
  EXPECT_EQ(texts_of(drawing, Kind::shape).size(), held_shapes(score).size());
}

// What other engravers of tab leave out.
TEST_P(SheetContents, GraceNotesArticulationsAndBrushesStandOnIt) {
  const sheet::Drawing drawing = sheet::lay_out({score_}, options_, report_);
  const auto stroke_of = [this](const Mark& mark) -> const Stroke& {
    return score_.measures.at(mark.stroke->measure).strokes.at(mark.stroke->stroke);
  };
  const sheet::Sizes sizes(1);
  for (const Mark& mark : marks_of(drawing, Kind::fret)) {
    const bool grace = stroke_of(mark).grace != Grace::none;
    EXPECT_EQ(std::get<sheet::Text>(mark.shape).style, grace ? sizes.grace_fret : sizes.fret);
  }
  std::size_t signs = 0;
  std::size_t brushes = 0;
  std::size_t stops = 0;
  std::size_t chokes = 0;
  for (const Measure& measure : score_.measures) {
    for (const Stroke& stroke : measure.strokes) {
      const Articulations& given = stroke.articulations;
      signs += static_cast<std::size_t>(given.staccato + given.tenuto + 2 * given.accent +
                                        2 * given.strong_accent + given.fermata);
      if (stroke.brush != Brush::none) brushes += stroke.brush == Brush::plain ? 1 : 2;
      for (const Note& note : stroke.notes) {
        stops += note.ring == Ring::damp ? 1 : 0;
        chokes += note.choke ? 1 : 0;
      }
    }
  }
  EXPECT_EQ(marks_of(drawing, Kind::articulation).size(), signs);  // wedges are two lines
  EXPECT_EQ(marks_of(drawing, Kind::brush).size(), brushes);       // an arrow is a line and its head
  EXPECT_EQ(marks_of(drawing, Kind::stop).size(), stops);
  EXPECT_EQ(marks_of(drawing, Kind::choke).size(), 2 * chokes);
}

// Each melody note that is struck has its outline, and what else is drawn is the same.
TEST_P(SheetContents, OutlinesStandAroundTheMelody) {
  options_.roles = true;
  const sheet::Drawing drawing = sheet::lay_out({score_}, options_, report_);
  std::multiset<std::pair<std::size_t, std::size_t>> struck, outlined;
  for (std::size_t m = 0; m < score_.measures.size(); ++m) {
    const auto& strokes = score_.measures[m].strokes;
    for (std::size_t s = 0; s < strokes.size(); ++s) {
      for (const Note& note : strokes[s].notes) {
        if (note.role == Role::melody && !note.tied_from_previous) struck.emplace(m, s);
      }
    }
  }
  for (const Mark& mark : marks_of(drawing, Kind::melody)) {
    outlined.emplace(mark.stroke->measure, mark.stroke->stroke);
  }
  EXPECT_EQ(outlined, struck);
  Report report;
  const sheet::Drawing without = sheet::lay_out({score_}, {}, report);
  for (const Kind kind : {Kind::fret, Kind::picking_finger, Kind::technique, Kind::stem, Kind::brush,
                          Kind::tie, Kind::slide, Kind::choke, Kind::stop}) {
    EXPECT_EQ(marks_of(drawing, kind).size(), marks_of(without, kind).size());
  }
}

TEST_P(SheetContents, NotationStandsOverItsFrets) {
  options_.notation = true;
  const sheet::Drawing drawing = sheet::lay_out({score_}, options_, report_);
  std::map<std::pair<std::size_t, std::size_t>, std::vector<double>> frets, heads;
  std::size_t drawn = 0;
  for (const sheet::Page& page : drawing.pages) {
    for (const Mark& mark : page.marks) {
      if (mark.kind != Kind::fret && mark.kind != Kind::note_head) continue;
      auto& places = mark.kind == Kind::fret ? frets : heads;
      places[{mark.stroke->measure, mark.stroke->stroke}].push_back((mark.box.left + mark.box.right) / 2);
      drawn += mark.kind == Kind::note_head ? 1 : 0;
    }
  }
  EXPECT_EQ(frets.size(), heads.size());
  EXPECT_GT(drawn, 0U);
  for (const auto& head : heads) {
    const auto& stroke = head.first;
    const auto& places = head.second;
    ASSERT_EQ(frets[stroke].size(), places.size());
    // One head at least has the middle of its column; those a second away stand beside it.
    const auto nearest = [&](double x) {
      double best = 100;
      for (const double place : places) best = std::min(best, std::abs(place - x));
      return best;
    };
    for (const double x : frets[stroke]) EXPECT_LT(nearest(x), 0.6);
  }
}

INSTANTIATE_TEST_SUITE_P(Seeds, SheetContents, ::testing::Range(1, 41));

}  // namespace
}  // namespace fifthpeg
