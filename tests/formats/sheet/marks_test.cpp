// Each thing that a score says is drawn as what it is: small scores, of which every mark is counted.
#include <algorithm>
#include <gtest/gtest.h>
#include <string>
#include <vector>

#include "formats/sheet/layout/lay_out.hpp"
#include "formats/sheet/layout/pages.hpp"
#include "formats/sheet/small_scores.hpp"

namespace fifthpeg::sheet {
namespace {

using testing::marks_of;
using testing::measure_of;
using testing::note_on;
using testing::quarters;
using testing::score_with;
using testing::signs_of;
using testing::texts_of;

Stroke stroke(Fraction onset, Fraction duration, int fret) {
  return testing::stroke_at(onset, duration, {note_on(3, fret, {Step::G, 0, 4})});
}

class Drawn {
 public:
  explicit Drawn(const Score& score, const SheetOptions& options = {}) {
    Report report;
    drawing_ = lay_out({score}, options, report);
  }

  std::size_t count(Kind kind) const { return marks(kind).size(); }
  std::vector<Mark> marks(Kind kind) const { return marks_of(drawing_, kind); }
  std::vector<std::string> texts(Kind kind) const { return texts_of(drawing_, kind); }
  std::vector<MusicSign> signs(Kind kind) const { return signs_of(drawing_, kind); }

 private:
  Drawing drawing_;
};

using Words = std::vector<std::string>;

TEST(SheetMarks, Heading) {
  Score score = quarters(1);
  score.work.title = "Monday Rag";
  score.work.composer = "A. Nother";
  score.work.rights = "free to copy";
  score.banjo.capo = 2;
  score.banjo.fifth_capo = usual_fifth_capo(2);
  Tempo tempo;
  tempo.quarters_per_minute = 90;
  score.measures[0].tempos.push_back(tempo);
  const Drawn drawn(score);
  EXPECT_EQ(drawn.texts(Kind::title), Words{"Monday Rag"});
  EXPECT_EQ(drawn.texts(Kind::credit), Words{"A. Nother"});
  EXPECT_EQ(drawn.texts(Kind::rights), Words{"free to copy"});
  std::string set_up;
  for (const std::string& line : drawn.texts(Kind::set_up)) set_up += line + " ";
  for (const char* item : {"Tuning: open G (gDGBD)", "Capo: 2", "Meter: 4/4", "Tempo: quarter = 90"}) {
    EXPECT_NE(set_up.find(item), std::string::npos) << item << " in " << set_up;
  }
  EXPECT_EQ(drawn.texts(Kind::string_name), (Words{"d", "B", "G", "D", "g"}));
  EXPECT_EQ(drawn.texts(Kind::meter), (Words{"4", "4"}));
}

TEST(SheetMarks, NoteValues) {
  // A dotted quarter, an eighth, two beamed eighths, a quarter.
  const Drawn drawn(score_with(
      {measure_of({stroke(0, Fraction(3, 8), 0), stroke(Fraction(3, 8), Fraction(1, 8), 2),
                   stroke(Fraction(1, 2), Fraction(1, 8), 4), stroke(Fraction(5, 8), Fraction(1, 8), 2),
                   stroke(Fraction(3, 4), Fraction(1, 4), 0)})}));
  EXPECT_EQ(drawn.count(Kind::stem), 5U);
  EXPECT_EQ(drawn.count(Kind::beam), 1U);
  EXPECT_EQ(drawn.signs(Kind::flag), std::vector<MusicSign>{MusicSign::down_flag});
  EXPECT_EQ(drawn.count(Kind::dot), 1U);
  const Drawn sixteenths(score_with(
      {measure_of({stroke(0, Fraction(1, 16), 0), stroke(Fraction(1, 16), Fraction(1, 16), 2),
                   stroke(Fraction(1, 8), Fraction(1, 8), 4), stroke(Fraction(1, 4), Fraction(3, 4), 0)})}));
  EXPECT_EQ(sixteenths.count(Kind::beam), 2U);
}

TEST(SheetMarks, AHalfHasHalfAStemAndAWholeNone) {
  const Drawn halves(
      score_with({measure_of({stroke(0, Fraction(1, 2), 0), stroke(Fraction(1, 2), Fraction(1, 2), 2)})}));
  const Drawn four(quarters(1));
  ASSERT_EQ(halves.count(Kind::stem), 2U);
  EXPECT_NEAR(halves.marks(Kind::stem)[0].box.height() * 2, four.marks(Kind::stem)[0].box.height(), 1e-6);
  EXPECT_EQ(Drawn(score_with({measure_of({stroke(0, 1, 0)})})).count(Kind::stem), 0U);
}

TEST(SheetMarks, Rests) {
  Stroke eighth;
  eighth.onset = Fraction(1, 4);
  eighth.duration = Fraction(1, 8);
  Stroke whole;
  whole.duration = 1;
  const Drawn drawn(
      score_with({measure_of({stroke(0, Fraction(1, 4), 0), eighth, stroke(Fraction(3, 8), Fraction(1, 8), 2),
                              stroke(Fraction(1, 2), Fraction(1, 2), 2)}),
                  measure_of({whole}, 2)}));
  EXPECT_EQ(drawn.signs(Kind::rest), (std::vector<MusicSign>{MusicSign::eighth_rest, MusicSign::whole_rest}));
}

TEST(SheetMarks, Tuplets) {
  std::vector<Stroke> strokes;
  for (int i = 0; i < 3; ++i) {
    strokes.push_back(stroke(Fraction(i, 12), Fraction(1, 12), i));
    strokes.back().tuplets = {{3, 2, i == 0, i == 2}};
  }
  strokes.push_back(stroke(Fraction(1, 4), Fraction(3, 4), 0));
  const Drawn beamed(score_with({measure_of(strokes)}));
  EXPECT_EQ(beamed.texts(Kind::tuplet), Words{"3"});
  EXPECT_EQ(beamed.count(Kind::tuplet), 1U);  // the beam shows the group
  // Quarters have no beam and need a bracket: two lines along and two hooks.
  for (std::size_t i = 0; i < 3; ++i) {
    strokes[i].onset = Fraction(static_cast<std::int64_t>(i), 6);
    strokes[i].duration = Fraction(1, 6);
  }
  strokes[3] = stroke(Fraction(1, 2), Fraction(1, 2), 0);
  SheetOptions options;
  EXPECT_EQ(Drawn(score_with({measure_of(strokes)}), options).count(Kind::tuplet), 5U);
  options.notation = true;
  EXPECT_EQ(Drawn(score_with({measure_of(strokes)}), options).count(Kind::tuplet), 10U);
}

TEST(SheetMarks, TechniquesHaveTheirSignAndLetter) {
  Measure measure = quarters(1).measures[0];
  const auto link = [&measure](std::size_t from, Technique technique) {
    measure.strokes[from].notes[0].out_of = technique;
    measure.strokes[from + 1].notes[0].into = technique;
  };
  link(0, Technique::hammer_on);
  link(1, Technique::slide);
  const Drawn drawn(score_with({measure}));
  EXPECT_EQ(drawn.texts(Kind::technique), (Words{"H", "S"}));
  EXPECT_EQ(drawn.count(Kind::slur), 1U);
  EXPECT_EQ(drawn.count(Kind::slide), 1U);
  EXPECT_NE(drawn.texts(Kind::about).at(0).find("H hammer-on"), std::string::npos);
  measure = quarters(1).measures[0];
  link(0, Technique::pull_off);
  link(2, Technique::slur);
  const Drawn others(score_with({measure}));
  EXPECT_EQ(others.texts(Kind::technique), Words{"P"});
  EXPECT_EQ(others.count(Kind::slur), 2U);
}

TEST(SheetMarks, ASlideGoesUpOrDownAsItsFrets) {
  for (const bool up : {true, false}) {
    Measure measure = measure_of(
        {stroke(0, Fraction(1, 2), up ? 2 : 4), stroke(Fraction(1, 2), Fraction(1, 2), up ? 4 : 2)});
    measure.strokes[0].notes[0].out_of = measure.strokes[1].notes[0].into = Technique::slide;
    const Line line = std::get<Line>(Drawn(score_with({measure})).marks(Kind::slide).at(0).shape);
    EXPECT_EQ(line.from.y > line.to.y, up);
  }
}

TEST(SheetMarks, TiesRingingChimesAndMuffledNotes) {
  Score score = quarters(2);
  Measure& first = score.measures[0];
  Measure& second = score.measures[1];
  first.strokes[3].notes[0].tied_to_next = true;
  second.strokes[0].notes[0] = first.strokes[3].notes[0];
  second.strokes[0].notes[0].tied_to_next = false;
  second.strokes[0].notes[0].tied_from_previous = true;
  second.strokes[1].notes[0].ring = Ring::let_ring;
  second.strokes[2].notes[0].harmonic = true;
  second.strokes[2].notes[0].placement->fret = 12;
  second.strokes[3].notes[0].dead = true;
  const Drawn drawn(score);
  EXPECT_EQ(drawn.count(Kind::tie), 1U);
  EXPECT_EQ(drawn.texts(Kind::ring), Words{"let ring"});
  EXPECT_EQ(drawn.texts(Kind::fret), (Words{"0", "1", "2", "3", "(3)", "1", "<12>", "x"}));
}

// ---- what notes are for ------------------------------------------------------------------------

SheetOptions with_roles(int measures_a_line = 0) {
  SheetOptions options;
  options.roles = true;
  options.measures_a_line = measures_a_line;
  return options;
}

Score of_roles(const std::vector<Role>& roles) {
  Score score = quarters(static_cast<int>(roles.size() / 4));
  for (std::size_t i = 0; i < roles.size(); ++i) {
    score.measures[i / 4].strokes[i % 4].notes[0].role = roles[i];
  }
  return score;
}

TEST(SheetMarks, TheMelodyHasAnOutline) {
  Score score = of_roles({Role::melody, Role::fill, Role::drone, Role::melody, Role::none, Role::melody,
                          Role::lick, Role::backup});
  score.measures[0].strokes[0].notes.push_back(note_on(4, 12));
  score.measures[0].strokes[0].notes[1].role = Role::melody;
  score.measures[0].strokes[3].notes[0].tied_to_next = true;
  score.measures[1].strokes[0].notes[0] = score.measures[0].strokes[3].notes[0];  // goes on: "(3)"
  score.measures[1].strokes[0].notes[0].tied_to_next = false;
  score.measures[1].strokes[0].notes[0].tied_from_previous = true;
  const Drawn drawn(score, with_roles());
  const std::vector<Mark> outlines = drawn.marks(Kind::melody);
  ASSERT_EQ(outlines.size(), 4U);
  const std::vector<Mark> frets = drawn.marks(Kind::fret);
  std::vector<std::pair<std::uint32_t, std::uint32_t>> strokes;
  for (const Mark& outline : outlines) {
    strokes.emplace_back(outline.stroke->measure, outline.stroke->stroke);
    const auto inside = std::count_if(frets.begin(), frets.end(), [&outline](const Mark& fret) {
      return fret.box.left > outline.box.left && fret.box.right < outline.box.right &&
             fret.box.top > outline.box.top && fret.box.bottom < outline.box.bottom;
    });
    EXPECT_EQ(inside, 1);
  }
  EXPECT_EQ(strokes, (std::vector<std::pair<std::uint32_t, std::uint32_t>>{{0, 0}, {0, 0}, {0, 3}, {1, 1}}));
  EXPECT_EQ(Drawn(score).count(Kind::melody), 0U) << "only where it is asked for";
  EXPECT_EQ(Drawn(score).count(Kind::role), 0U);
}

TEST(SheetMarks, LicksKickOffsAndBackupHaveABracket) {
  Score score = of_roles({Role::kick_off, Role::kick_off, Role::melody, Role::lick, Role::lick, Role::lick,
                          Role::lick, Role::none, Role::lick, Role::backup, Role::backup, Role::fill});
  score.measures[1].strokes[1].notes.clear();  // a rest inside of a lick parts it not
  const Drawn drawn(score, with_roles());
  EXPECT_EQ(drawn.texts(Kind::role), (Words{"kick-off", "lick", "lick", "backup"}));
  EXPECT_EQ(drawn.count(Kind::role), 4U * (1 + 4)) << "a word, two lines and two hooks each";
}

// On the next line it stands again, without a hook where it goes on.
TEST(SheetMarks, ABracketGoesOnInTheNextLine) {
  const Score score = of_roles(std::vector<Role>(12, Role::lick));
  const Drawn drawn(score, with_roles(1));
  EXPECT_EQ(drawn.texts(Kind::role), (Words{"lick", "lick", "lick"}));
  EXPECT_EQ(drawn.count(Kind::role), 3U * 3 + 2);
  const Drawn two(of_roles({Role::fill, Role::fill, Role::lick, Role::lick, Role::backup, Role::fill,
                            Role::fill, Role::fill}),
                  with_roles(1));
  EXPECT_EQ(two.count(Kind::role), 2U * 5) << "each ends in its own line";
}

TEST(SheetMarks, APartThatIsAllBackupNeedsNoBracket) {
  EXPECT_EQ(Drawn(of_roles(std::vector<Role>(8, Role::backup)), with_roles()).count(Kind::role), 0U);
  EXPECT_GT(
      Drawn(of_roles({Role::backup, Role::backup, Role::melody, Role::fill}), with_roles()).count(Kind::role),
      0U);
}

TEST(SheetMarks, ALegendSaysWhatAnOutlineIs) {
  const auto says = [](const Score& score, const SheetOptions& options) {
    std::string legend;
    for (const std::string& line : Drawn(score, options).texts(Kind::about)) legend += line;
    return legend.find("number in an outline: the melody") != std::string::npos;
  };
  const Score score = of_roles({Role::melody, Role::fill, Role::fill, Role::fill});
  EXPECT_TRUE(says(score, with_roles()));
  EXPECT_FALSE(says(score, {}));
  EXPECT_FALSE(says(of_roles({Role::fill, Role::fill, Role::lick, Role::fill}), with_roles()));
}

TEST(SheetMarks, ALegendSaysWhatABrushLooksLike) {
  const auto legend_of = [](Brush brush) {
    Score score = quarters(1);
    score.measures[0].strokes[0].brush = brush;
    std::string legend;
    for (const std::string& line : Drawn(score, {}).texts(Kind::about)) legend += line;
    return legend;
  };
  const std::string arrow = "arrow: brush";
  const std::string line = "line before a chord: brush";
  EXPECT_EQ(legend_of(Brush::none).find("brush"), std::string::npos);
  EXPECT_NE(legend_of(Brush::up).find(arrow), std::string::npos);
  EXPECT_NE(legend_of(Brush::down).find(arrow), std::string::npos);
  EXPECT_EQ(legend_of(Brush::down).find(line), std::string::npos);
  EXPECT_NE(legend_of(Brush::plain).find(line), std::string::npos);
  EXPECT_EQ(legend_of(Brush::plain).find(arrow), std::string::npos);
}

TEST(SheetMarks, WithoutRolesThatIsTold) {
  const auto told = [](const std::vector<Score>& pieces) {
    Report report;
    lay_out(pieces, with_roles(), report);
    return !report.empty() && report.entries().front().slug == "sheet-no-roles";
  };
  const Score plain = quarters(1);
  const Score arranged = of_roles({Role::melody, Role::fill, Role::fill, Role::fill});
  EXPECT_TRUE(told({plain}));
  EXPECT_FALSE(told({arranged}));
  EXPECT_FALSE(told({plain, arranged}));
}

TEST(SheetMarks, RepeatsEndingsAndJumps) {
  Score score = quarters(4);
  score.measures[0].repeat_starts = true;
  score.measures[0].directions.push_back({0, Direction::Kind::segno, ""});
  score.measures[1].ending = Ending{{1}, true, Ending::Stop::closed};
  score.measures[1].repeat_times = 2;
  score.measures[2].ending = Ending{{2}, true, Ending::Stop::open};
  score.measures[2].directions.push_back({0, Direction::Kind::coda, ""});
  score.measures[3].directions.push_back({1, Direction::Kind::dal_segno, ""});
  score.measures[3].directions.push_back({0, Direction::Kind::rehearsal, "B"});
  score.measures[3].directions.push_back({0, Direction::Kind::words, "softly"});
  const Drawn drawn(score);
  EXPECT_EQ(drawn.count(Kind::repeat_dot), 4U);
  EXPECT_EQ(drawn.texts(Kind::ending), (Words{"1.", "2."}));
  // Their lines and hooks: the first is closed, the second is open.
  EXPECT_EQ(drawn.count(Kind::ending), 2U + 3U + 2U);
  EXPECT_EQ(drawn.signs(Kind::direction), (std::vector<MusicSign>{MusicSign::segno, MusicSign::coda}));
  const Words words = drawn.texts(Kind::direction);
  EXPECT_NE(std::find(words.begin(), words.end(), "D.S."), words.end());
  EXPECT_NE(std::find(words.begin(), words.end(), "softly"), words.end());
  EXPECT_EQ(drawn.texts(Kind::rehearsal), Words{"B"});
  EXPECT_EQ(drawn.texts(Kind::measure_number), (Words{"1", "2", "3", "4"}));
}

TEST(SheetMarks, NotationHasClefKeyAccidentalsAndLedgerLines) {
  Measure measure = quarters(1).measures[0];
  measure.key = {2, Mode::major};
  for (Stroke& one : measure.strokes) one.notes[0].pitch = {Step::G, 0, 4};
  measure.strokes[0].notes[0].pitch = {Step::F, 0, 4};  // a natural in D
  measure.strokes[1].notes[0].pitch = {Step::D, 0, 5};  // written an octave up, on the second line above
  SheetOptions options;
  options.notation = true;
  const Drawn drawn(score_with({measure}), options);
  EXPECT_EQ(drawn.signs(Kind::clef), std::vector<MusicSign>{MusicSign::g_clef});
  EXPECT_EQ(drawn.signs(Kind::key_signature), (std::vector<MusicSign>{MusicSign::sharp, MusicSign::sharp}));
  EXPECT_EQ(drawn.signs(Kind::accidental), std::vector<MusicSign>{MusicSign::natural});
  EXPECT_EQ(drawn.count(Kind::note_head), 4U);
  EXPECT_EQ(drawn.count(Kind::ledger_line), 2U);
}

// ---- pages -------------------------------------------------------------------------------------

Block block(double height) {
  Block made;
  made.bottom = height;
  made.is_line = true;
  made.marks.push_back({Kind::staff_line, {0, 0, 100, height}, Line{{0, 0}, {100, height}, 0.1}, {}});
  return made;
}

std::vector<std::size_t> lines_on(const std::vector<Page>& pages) {
  std::vector<std::size_t> lines;
  for (const Page& page : pages) {
    lines.push_back(
        static_cast<std::size_t>(std::count_if(page.marks.begin(), page.marks.end(), [](const Mark& mark) {
          return mark.kind == Kind::staff_line;
        })));
  }
  return lines;
}

TEST(Pages, LeaveNoLineAloneOnTheLast) {
  const Sizes sizes(1);
  TextFace face;
  const PageSize size = page_size({});
  const double height = size.text_height(sizes) / 4.5;  // four fit
  const std::vector<Page> pages = pages_of(std::vector<Block>(9, block(height)), size, sizes, {}, face);
  const std::vector<std::size_t> lines = lines_on(pages);
  ASSERT_EQ(lines.size(), 3U);
  EXPECT_GE(lines.back(), 2U);
}

TEST(Pages, KeepTogetherWhatBelongsTogether) {
  const Sizes sizes(1);
  TextFace face;
  const PageSize size = page_size({});
  std::vector<Block> blocks(6, block(size.text_height(sizes) / 4.5));
  blocks[3].keep_with_next = true;
  EXPECT_EQ(lines_on(pages_of(blocks, size, sizes, {}, face)), (std::vector<std::size_t>{3, 3}));
}

TEST(Pages, AreNumberedWhereThereAreSeveral) {
  const Sizes sizes(1);
  TextFace face;
  const PageSize size = page_size({});
  const auto numbers = [&](std::size_t lines) {
    Words found;
    const std::vector<Block> blocks(lines, block(size.text_height(sizes) / 4.5));
    for (const Page& page : pages_of(blocks, size, sizes, {}, face)) {
      for (const Mark& mark : page.marks) {
        if (mark.kind == Kind::page_number) found.push_back(std::get<Text>(mark.shape).text);
      }
    }
    return found;
  };
  EXPECT_EQ(numbers(4), Words{});
  EXPECT_EQ(numbers(8), (Words{"1 / 2", "2 / 2"}));
}

}  // namespace
}  // namespace fifthpeg::sheet
