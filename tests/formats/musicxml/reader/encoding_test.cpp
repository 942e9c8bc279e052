// Encodings, entities and characters. XML 1.0 (W3C Recommendation, 5th edition, 2008), appendix F.
#include <gtest/gtest.h>

#include "formats/musicxml/reader/support.hpp"

namespace fifthpeg {
namespace {

using namespace testing;

std::string titled(std::string_view declaration, std::string_view title) {
  return std::string(declaration) + "<score-partwise version=\"3.1\"><work><work-title>" +
         std::string(title) +
         "</work-title></work><part-list><score-part id=\"P1\"><part-name>Banjo</part-name></score-part>"
         "</part-list><part id=\"P1\">" +
         measure(note("D4", 8)) + "</part></score-partwise>";
}

std::string utf16(std::u16string_view text, bool big, bool mark) {
  std::string bytes;
  const auto put = [&](char16_t unit) {
    const char high = static_cast<char>(unit >> 8U);
    const char low = static_cast<char>(unit & 0xFFU);
    bytes += big ? high : low;
    bytes += big ? low : high;
  };
  if (mark) put(0xFEFF);
  for (const char16_t unit : text) put(unit);
  return bytes;
}

std::u16string widened(std::string_view ascii) {
  return {ascii.begin(), ascii.end()};
}

TEST(MusicXmlEncoding, Utf8WithAndWithoutMark) {
  const std::string text = titled("<?xml version=\"1.0\" encoding=\"UTF-8\"?>", "K\u00e4se \u266f");
  for (const std::string& bytes : {text, "\xEF\xBB\xBF" + text}) {
    const Reading reading = read_sound(bytes);
    EXPECT_EQ(reading.score.work.title, "K\u00e4se \u266f");
    EXPECT_EQ(reading.inventory.encoding, "UTF-8");
    EXPECT_EQ(told(reading.report, "musicxml-encoding"), 0U);
    EXPECT_EQ(reading.inventory.format, "MusicXML 3.1 partwise");
  }
}

TEST(MusicXmlEncoding, ProcessingInstructionsArePassedOver) {
  std::string text =
      titled("<?xml version=\"1.0\"?><!-- <?no instruction?> -->", "What <?Maker\nlook=\"wide\"?>now");
  text.insert(text.find("<part-list>"), "<?Maker layout \"1 > 0\"?>");
  const Reading reading = read_sound(text);
  EXPECT_EQ(reading.score.work.title, "What now");
  EXPECT_EQ(told(reading.report, "musicxml-processing-instruction"), 2U);
  // One that never ends is broken XML, and says so.
  EXPECT_THROW(read_musicxml(text + "<?Maker"), ReadError);
}

TEST(MusicXmlEncoding, Utf16BothWaysWithAndWithoutMark) {
  std::u16string text = widened(titled("<?xml version=\"1.0\" encoding=\"UTF-16\"?>", "@"));
  text.replace(text.find(u'@'), 1, u"K\u00e4se \U0001D11E");  // the G clef needs a surrogate pair
  for (const bool big : {false, true}) {
    for (const bool mark : {false, true}) {
      const Reading reading = read_sound(utf16(text, big, mark));
      EXPECT_EQ(reading.score.work.title, "K\u00e4se \U0001D11E");
      EXPECT_EQ(reading.inventory.encoding, "UTF-16");
      EXPECT_EQ(told(reading.report, "musicxml-encoding"), 0U);
    }
  }
}

TEST(MusicXmlEncoding, LoneSurrogateAndOddByteAreTold) {
  std::u16string text = widened(titled("", "@"));
  text[text.find(u'@')] = 0xD834;
  const Reading reading = read_sound(utf16(text, true, true) + " ");
  EXPECT_EQ(reading.score.work.title, "\uFFFD");
  EXPECT_EQ(told(reading.report, "musicxml-encoding-broken"), 2U);
}

TEST(MusicXmlEncoding, Latin1AndWindows) {
  Reading reading = read_sound(titled("<?xml version=\"1.0\" encoding=\"ISO-8859-1\"?>", "K\xE4se"));
  EXPECT_EQ(reading.score.work.title, "K\u00e4se");
  EXPECT_EQ(reading.inventory.encoding, "ISO-8859-1");
  // 0x85 and 0x92 are an ellipsis and an apostrophe in code page 1252, controls in ISO 8859-1.
  reading = read_sound(titled("<?xml version='1.0' encoding='windows-1252'?>", "Joy\x92s\x85"));
  EXPECT_EQ(reading.score.work.title, "Joy\u2019s\u2026");
  reading = read_sound(titled("<?xml version='1.0' encoding='US-ASCII'?>", "Joy"));
  EXPECT_EQ(reading.inventory.encoding, "US-ASCII");
  EXPECT_EQ(told(reading.report, "musicxml-encoding"), 0U);
}

TEST(MusicXmlEncoding, OtherEncodingsByName) {
  // 0xA4 is the euro sign in ISO 8859-15.
  const Reading reading = read_sound(titled("<?xml version='1.0' encoding='ISO-8859-15'?>", "5 \xA4"));
  EXPECT_EQ(reading.score.work.title, "5 \u20AC");
  const Refusal refused = refusal(titled("<?xml version='1.0' encoding='EBCDIC-37'?>", "x"));
  EXPECT_NE(refused.what.find("EBCDIC-37"), std::string::npos);
  EXPECT_EQ(refused.line, 1);
}

TEST(MusicXmlEncoding, DeclarationsThatLieAreTold) {
  // UTF-8 bytes that call themselves Latin-1; Latin-1 bytes that call themselves UTF-8 or ASCII; UTF-16
  // bytes that call themselves UTF-8; bytes that call themselves UTF-16.
  const std::string e = "K\u00e4se";
  const std::string latin = "K\xE4se";
  for (const std::string& bytes : {titled("<?xml version='1.0' encoding='ISO-8859-1'?>", e),
                                   titled("<?xml version='1.0' encoding='UTF-8'?>", latin),
                                   titled("<?xml version='1.0' encoding='US-ASCII'?>", latin),
                                   titled("", latin), titled("<?xml version='1.0' encoding='UTF-16'?>", e)}) {
    const Reading reading = read_sound(bytes);
    EXPECT_EQ(reading.score.work.title, e);
    EXPECT_EQ(told(reading.report, "musicxml-encoding", EntryKind::repair), 1U);
  }
  const Reading wide =
      read_sound(utf16(widened(titled("<?xml version='1.0' encoding='UTF-8'?>", "x")), false, true));
  EXPECT_EQ(told(wide.report, "musicxml-encoding", EntryKind::repair), 1U);
}

TEST(MusicXmlEncoding, BrokenUtf8IsReplacedAndToldWithItsLine) {
  const Reading reading = read_sound(titled("\n", "K\u00e4s\xFF"));
  EXPECT_EQ(reading.score.work.title, "K\u00e4s\uFFFD");
  ASSERT_EQ(told(reading.report, "musicxml-encoding-broken"), 1U);
  for (const Entry& one : reading.report.entries()) {
    if (one.slug == "musicxml-encoding-broken") {
      EXPECT_EQ(one.places.front().line, 2);
    }
  }
}

TEST(MusicXmlEncoding, NulAndControlCharactersAreReplacedAndTold) {
  const Reading reading = read_sound(titled("", std::string("a\0b\x01", 4) + "c&#0;d&#xD800;e&#x41;&#233;"));
  EXPECT_EQ(reading.score.work.title, "a\uFFFDb\uFFFDc\uFFFDd\uFFFDeA\u00e9");
  EXPECT_EQ(told(reading.report, "musicxml-forbidden-character"), 4U);
}

TEST(MusicXmlEncoding, PaddingAfterTheLastTagIsNothing) {
  EXPECT_TRUE(read_sound(titled("", "x") + std::string("\0\0\x1A", 3)).report.empty());
}

TEST(MusicXmlEncoding, BareAmpersandIsItself) {
  const Reading reading = read_sound(titled("", "Q&A &amp; R& D"));
  EXPECT_EQ(reading.score.work.title, "Q&A & R& D");
  EXPECT_EQ(told(reading.report, "musicxml-bare-ampersand", EntryKind::repair), 2U);
}

TEST(MusicXmlEncoding, EntitiesOfADoctypeAreNeverExpanded) {
  const std::string doctype =
      "<!DOCTYPE score-partwise PUBLIC \"-//Recordare//DTD MusicXML 3.1 Partwise//EN\" "
      "\"http://www.musicxml.org/dtds/partwise.dtd\" [\n<!ENTITY lol \"haha>\">\n<!ENTITY far SYSTEM "
      "\"file:///etc/passwd\">\n<!-- ' -->]>\n";
  const Reading reading = read_sound(titled(doctype, "a &lol; &amp; &far;"));
  EXPECT_EQ(reading.score.work.title, "a &lol; & &far;");
  EXPECT_EQ(told(reading.report, "musicxml-entity", EntryKind::loss), 2U);
  for (const Entry& one : reading.report.entries()) {
    if (one.slug == "musicxml-entity") {
      EXPECT_EQ(one.places.front().line, 5);
    }
  }
  // In comments and CDATA an ampersand is only that.
  const Reading plain = read_sound(titled("<!-- &lol; -->", "<![CDATA[&lol;]]>"));
  EXPECT_EQ(plain.score.work.title, "&lol;");
  EXPECT_EQ(told(plain.report, "musicxml-entity"), 0U);
}

TEST(MusicXmlEncoding, UsualDoctypeIsNothingToTell) {
  const Reading reading = read_sound(titled(
      "<?xml version=\"1.0\" encoding=\"UTF-8\" standalone=\"no\"?>\n<!DOCTYPE score-partwise PUBLIC "
      "\"-//Recordare//DTD MusicXML 3.1 Partwise//EN\" \"http://www.musicxml.org/dtds/partwise.dtd\">\n",
      "x"));
  EXPECT_TRUE(reading.report.empty()) << all_told(reading.report);
}

TEST(MusicXmlDocument, WhatItIsNot) {
  EXPECT_NE(refusal("<html><body/></html>").what.find("HTML"), std::string::npos);
  EXPECT_NE(refusal("\n<opus/>").what.find("opus"), std::string::npos);
  EXPECT_EQ(refusal("\n<opus/>").line, 2);
  EXPECT_NE(refusal("<container><rootfiles/></container>").what.find(".mxl"), std::string::npos);
  EXPECT_NE(refusal("<svg/>").what.find("svg"), std::string::npos);
  EXPECT_NE(refusal("<score-partwise/>").what.find("no part"), std::string::npos);
  EXPECT_FALSE(refusal("").what.empty());
  EXPECT_FALSE(refusal("   ").what.empty());
  EXPECT_NE(refusal(std::string("\xFF\xFE\0\0<\0\0\0", 8)).what.find("UTF-32"), std::string::npos);
}

TEST(MusicXmlDocument, BrokenXmlHasItsLine) {
  const Refusal refused = refusal("<score-partwise>\n<part-list>\n</part>\n</score-partwise>");
  EXPECT_NE(refused.what.find("XML is broken"), std::string::npos);
  EXPECT_GE(refused.line, 2);
}

TEST(MusicXmlDocument, NestingTooDeepHasItsLine) {
  std::string deep;
  for (int i = 0; i < 5000; ++i) deep += "<a>\n";
  const Refusal refused = refusal(deep);
  EXPECT_NE(refused.what.find("nested"), std::string::npos);
  EXPECT_GT(refused.line, 50);
}

TEST(MusicXmlDocument, LargerThanTheLimit) {
  ReadOptions options;
  options.max_bytes = 100;
  EXPECT_NE(refusal(one_measure(note("D4", 8)), options).what.find("100"), std::string::npos);
}

// Timewise scores are the same music in another order (MusicXML 4.0, score-timewise).
TEST(MusicXmlDocument, Timewise) {
  const std::string list =
      "<part-list><score-part id=\"P1\"><part-name>Banjo</part-name></score-part>"
      "<score-part id=\"P2\"><part-name>Bass</part-name></score-part></part-list>";
  const auto music = [](const std::string& one, const std::string& attributes) {
    return attributes + note(one, 8);
  };
  const std::string first(usual_attributes);
  const std::string timewise =
      "<score-timewise version=\"2.0\">" + list + "<measure number=\"1\"><part id=\"P1\">" +
      music("D4", first) + "</part><part id=\"P2\">" + music("G2", first) +
      "</part></measure><measure number=\"2\"><part id=\"P1\">" + music("E4", "") +
      "</part><part id=\"P2\">" + music("A2", "") + "</part></measure></score-timewise>";
  const std::string partwise = "<score-partwise version=\"2.0\">" + list + "<part id=\"P1\">" +
                               measure(note("D4", 8)) + measure(note("E4", 8), "2", "") +
                               "</part><part id=\"P2\">" + measure(note("G2", 8)) +
                               measure(note("A2", 8), "2", "") + "</part></score-partwise>";
  const Reading a = read_sound(timewise);
  const Reading b = read_sound(partwise);
  EXPECT_EQ(a.score, b.score);
  EXPECT_EQ(a.inventory.parts, b.inventory.parts);
  EXPECT_EQ(a.inventory.format, "MusicXML 2.0 timewise");
  EXPECT_EQ(line_of(a, 1), "E4 1");
}

TEST(MusicXmlDocument, VersionsAndPartNotListed) {
  std::string text = one_measure(note("D4", 8));
  text.erase(text.find(" version=\"4.0\""), 14);
  EXPECT_EQ(read_sound(text).inventory.format, "MusicXML 1.0 partwise");
  const Reading reading =
      read_sound("<score-partwise><part id=\"X\">" + measure(note("D4", 8)) + "</part></score-partwise>");
  EXPECT_EQ(told(reading.report, "musicxml-part-unlisted"), 1U);
  EXPECT_EQ(line_of(reading), "D4 1");
}

}  // namespace
}  // namespace fifthpeg
