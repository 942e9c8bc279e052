// Tab for a window: all that the sheet has, in lines that are as wide as asked, and measures that can be
// touched.
#include <algorithm>
#include <gtest/gtest.h>
#include <map>
#include <stdexcept>
#include <string>
#include <tuple>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/page.hpp"
#include "formats/page/page_files.hpp"
#include "formats/sheet/layout/lay_out.hpp"
#include "formats/sheet/small_scores.hpp"
#include "formats/sheet/writers.hpp"
#include "property/random_score.hpp"

namespace fifthpeg {
namespace {

using sheet::Drawing;
using sheet::Kind;
using sheet::Mark;

constexpr double phone = 96;
constexpr double a_hair = 1e-6;

// How often each text of a kind stands in it, by stroke.
using Counted = std::map<std::tuple<std::uint32_t, std::uint32_t, std::string>, int>;
Counted counted(const Drawing& drawing, Kind kind) {
  Counted found;
  for (const Mark& mark : testing::marks_of(drawing, kind)) {
    ++found[{mark.stroke->measure, mark.stroke->stroke, std::get<sheet::Text>(mark.shape).text}];
  }
  return found;
}

class Strips : public ::testing::TestWithParam<int> {
 protected:
  Strips() {
    testing::RandomScoreOptions options;
    options.measures = 12;
    score_ = testing::RandomScore(static_cast<std::uint64_t>(GetParam()), options).make();
  }
  Score score_;
};

TEST_P(Strips, HaveWhatTheSheetHas) {
  Report on_paper;
  Report on_screen;
  const Drawing sheet = sheet::lay_out({score_}, {}, on_paper);
  for (const double width : {phone, 182.0, 269.0}) {
    const auto strips = sheet::lay_out_strips({score_}, {}, width, on_screen);
    ASSERT_EQ(strips.size(), 2U);
    for (const Kind kind : {Kind::fret, Kind::picking_finger}) {
      EXPECT_EQ(counted(strips[0], kind).size(), counted(sheet, kind).size());
    }
    for (const sheet::Page& page : strips[0].pages) EXPECT_EQ(page.width, width);
  }
}

TEST_P(Strips, HaveEachStrokeInsideItsMeasure) {
  Report report;
  const auto strips = sheet::lay_out_strips({score_}, {}, phone, report);
  std::size_t next = 0;
  for (const sheet::Page& page : strips[0].pages) {
    for (const sheet::MeasureAt& one : page.measures) {
      EXPECT_TRUE(one.measure == next || one.measure + 1 == next)
          << "a measure is missing before " << one.measure;
      next = one.measure + 1;
      EXPECT_GE(one.box.left, 0);
      EXPECT_LE(one.box.right, page.width);
      EXPECT_GE(one.box.top, -a_hair);
      EXPECT_LE(one.box.bottom, page.height + a_hair);
    }
    for (const Mark& mark : page.marks) {
      if (mark.kind != Kind::fret) continue;
      const double x = (mark.box.left + mark.box.right) / 2;
      const bool inside = std::any_of(page.measures.begin(), page.measures.end(), [&](const auto& one) {
        return one.measure == mark.stroke->measure && one.box.left <= x && x <= one.box.right &&
               one.box.top <= mark.box.top && mark.box.bottom <= one.box.bottom;
      });
      EXPECT_TRUE(inside) << "measure " << mark.stroke->measure << ", stroke " << mark.stroke->stroke;
    }
  }
  EXPECT_EQ(next, score_.measures.size());
}

INSTANTIATE_TEST_SUITE_P(Random, Strips, ::testing::Range(0, 60));

TEST(Strips, NumberPiecesAsThePageDoes) {
  Report report;
  const auto strips = sheet::lay_out_strips({testing::quarters(2), testing::quarters(3)}, {}, phone, report);
  ASSERT_EQ(strips.size(), 3U);
  for (std::uint32_t piece = 0; piece < 2; ++piece) {
    for (const Mark& mark : testing::marks_of(strips[piece], Kind::fret))
      EXPECT_EQ(mark.stroke->piece, piece);
    for (const sheet::Page& page : strips[piece].pages) {
      for (const sheet::MeasureAt& one : page.measures) EXPECT_EQ(one.piece, piece);
    }
  }
}

TEST(SvgElement, HasItsMeasuresUnderItsMarks) {
  Report report;
  const auto strips = sheet::lay_out_strips({testing::quarters(2)}, {}, phone, report);
  const std::string svg = sheet::svg_element(strips[0].pages.back(), strips[0], "Tab & \"more\"");
  EXPECT_NE(svg.find("role=\"img\" aria-label=\"Tab &amp; &quot;more&quot;\""), std::string::npos);
  EXPECT_EQ(svg.find("xmlns"), std::string::npos);
  const auto measure = svg.find("<rect class=\"measure\" data-measure=\"0.1\"");
  ASSERT_NE(measure, std::string::npos);
  EXPECT_LT(measure, svg.find("data-stroke=\"0.0.0\""));
}

TEST(PageFiles, AreThere) {
  for (const char* name : {"page.css", "controls.html", "player.js", "plucked_string.js"}) {
    EXPECT_FALSE(page::page_file(name).text.empty());
    EXPECT_EQ(page::page_file(name).sha256.size(), 64U);
  }
  EXPECT_THROW(page::page_file("nothing.js"), std::out_of_range);
}

TEST(Page, RefusesASizeThatCannotBe) {
  SheetOptions options;
  options.size = 9;
  StringSink kept;
  EXPECT_THROW(write_page({testing::quarters(1)}, options, kept), UsageError);
  EXPECT_TRUE(kept.str().empty());
}

TEST(Page, OfNothingIsAPage) {
  StringSink kept;
  write_page({Score{}}, {}, kept);
  EXPECT_NE(kept.str().find("</html>"), std::string::npos);
  StringSink none;
  write_page({}, {}, none);
  EXPECT_NE(none.str().find("</html>"), std::string::npos);
}

}  // namespace
}  // namespace fifthpeg
