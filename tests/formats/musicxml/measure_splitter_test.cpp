// Cutting a score into measures before parsing changes nothing that is read, and no line.
#include "formats/musicxml/measure_splitter.hpp"

#include <algorithm>
#include <gtest/gtest.h>

#include "formats/musicxml/outline.hpp"
#include "formats/musicxml/reader/support.hpp"
#include "formats/musicxml/sanitize.hpp"

namespace fifthpeg {
namespace {

using namespace testing;
using musicxml::slice;
using musicxml::Sliced;

TEST(MusicXmlSlices, SkeletonKeepsAttributesAndLines) {
  const std::string text =
      "<score-partwise>\n<part id=\"P1\">\n<measure number=\"1\" width='>'>\n<note/>\n</measure>\n<measure "
      "number=\"2\"/></part>\n</score-partwise>";
  const Sliced sliced = slice(text);
  ASSERT_EQ(sliced.slices.size(), 2U);
  EXPECT_EQ(sliced.slices[0].text, "<measure number=\"1\" width='>'>\n<note/>\n</measure>");
  EXPECT_EQ(sliced.slices[0].line, 3);
  EXPECT_EQ(sliced.slices[1].text, "<measure number=\"2\"/>");
  EXPECT_EQ(sliced.slices[1].line, 6);
  EXPECT_EQ(sliced.skeleton,
            "<score-partwise>\n<part id=\"P1\">\n<measure number=\"1\" width='>'/>\n\n\n<measure "
            "number=\"2\"/></part>\n</score-partwise>");
}

TEST(MusicXmlSlices, WhatOnlyLooksLikeTags) {
  const std::string text =
      "<?xml version=\"1.0\"?><!-- <part><measure> --><score-partwise><part-list><score-part "
      "id=\"P1\"/></part-list>"
      "<part id=\"P1\"><!-- </part> "
      "--><measure><words><![CDATA[</measure>]]></words><measure-style/></measure>"
      "</part></score-partwise>";
  const Sliced sliced = slice(text);
  ASSERT_EQ(sliced.slices.size(), 1U);
  EXPECT_TRUE(sliced.slices[0].text.ends_with("<measure-style/></measure>"));
}

TEST(MusicXmlSlices, WholeMeasuresBeforeTheDamage) {
  const std::string head = "<score-partwise><part-list/>";
  const auto whole = [](const std::string& text) { return musicxml::whole_measures(slice(text).skeleton); };
  const std::string kept = head + "<part id=\"A\"><measure/></part></score-partwise>";
  EXPECT_EQ(whole(head + "<part id=\"A\"><measure><note/></measure><measure><note>"), kept);
  EXPECT_EQ(whole(head + "<part id=\"A\"><measure><note/></measure></prt>"), kept);
  EXPECT_EQ(whole(head + "<part id=\"A\"><measure></measure></part><part"), kept);
  EXPECT_EQ(whole(head + "<part id=\"A\"><measure><note>"), "");
  EXPECT_EQ(whole("<score-timewise><measure number=\"1\"><part id=\"A\"></part><part id=\"B\">"),
            "<score-timewise><measure number=\"1\"><part id=\"A\"/></measure></score-timewise>");
}

TEST(MusicXmlSlices, AnOutlineSaysWhereElementsStand) {
  const std::string text = "<measure a='>'><!-- <x> --><note><pitch/> <dot></dot></note>\n<note/></measure>";
  musicxml::SliceParser parser;
  const musicxml::Slice whole{text, 1};
  const auto& root = parser.parse(whole);
  const musicxml::Outline outline(whole, root);
  const auto& note = *root.FirstChildElement();
  const auto text_of = [&](const musicxml::Element& element) {
    const auto& range = outline.of(element);
    return text.substr(range.begin, range.end - range.begin);
  };
  EXPECT_EQ(text_of(root), text);
  EXPECT_EQ(text_of(note), "<note><pitch/> <dot></dot></note>");
  EXPECT_EQ(text_of(*note.FirstChildElement("dot")), "<dot></dot>");
  EXPECT_EQ(text_of(*root.LastChildElement()), "<note/>");
  EXPECT_EQ(outline.content_of(note), text.find("<pitch/>"));
  EXPECT_EQ(outline.content_of(*note.FirstChildElement("pitch")), std::nullopt);
}

TEST(MusicXmlSlices, WhatBecomesACommentKeepsItsLength) {
  const std::string text = "<?xml version=\"1.0\"?><!DOCTYPE a [\n<!ENTITY b \"c\">]><a><?d e\n?><b/></a>";
  std::string owned;
  Report report;
  const std::string_view made = musicxml::sanitize(text, owned, report);
  EXPECT_EQ(made.size(), text.size());
  EXPECT_EQ(made.find("<b/>"), text.find("<b/>"));
  EXPECT_EQ(std::count(made.begin(), made.end(), '\n'), 2);
  EXPECT_EQ(made.find("ENTITY"), std::string_view::npos);
}

TEST(MusicXmlSlices, LinesOfErrorsAndTellings) {
  const std::string text = part("\n" + measure("\n\n" + note("D4", 4) + "\n<wobble/>" + note("E4", 4)) +
                                "\n" + measure("\n<note><rest/></nota>", "2", ""));
  // The document begins on line 1, its part on line 2.
  EXPECT_EQ(refusal(text).line, 8);
  std::string sound = text;
  sound.replace(sound.find("</nota>"), 7, "</note>");
  const Reading reading = read_sound(sound);
  for (const Entry& one : reading.report.entries()) {
    if (one.slug == "musicxml-element-unknown") {
      EXPECT_EQ(one.places.front().line, 6);
    }
    if (one.slug == "musicxml-duration-missing") {
      EXPECT_EQ(one.places.front().line, 8);
    }
  }
  EXPECT_EQ(told(reading.report, "musicxml-element-unknown"), 1U);
  EXPECT_EQ(told(reading.report, "musicxml-duration-missing"), 1U);
}

}  // namespace
}  // namespace fifthpeg
