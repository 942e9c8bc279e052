// What the first bytes say.
#include <gtest/gtest.h>
#include <string>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/read.hpp"

namespace fifthpeg {
namespace {

using namespace std::string_literals;

std::string refusal(std::string_view bytes) {
  try {
    sniff(bytes);
  } catch (const ReadError& error) {
    return error.what();
  }
  return {};
}

TEST(Sniff, Midi) {
  EXPECT_EQ(sniff("MThd\0\0\0\x06"s), Format::midi);
  EXPECT_EQ(sniff("RIFF\x10\0\0\0RMIDdata"s), Format::midi);
}

TEST(Sniff, Zip) {  // PKWARE APPNOTE.TXT 6.3, 4.3.7 and 4.3.16
  EXPECT_EQ(sniff("PK\x03\x04"s), Format::mxl);
  EXPECT_EQ(sniff("PK\x05\x06"s), Format::mxl);
}

TEST(Sniff, XmlInEveryEncoding) {
  EXPECT_EQ(sniff("<?xml version=\"1.0\"?>"), Format::musicxml);
  EXPECT_EQ(sniff("\n \t<score-partwise>"), Format::musicxml);
  EXPECT_EQ(sniff("\xEF\xBB\xBF<?xml"), Format::musicxml);
  EXPECT_EQ(sniff("\xFF\xFE<\0?\0"s), Format::musicxml);
  EXPECT_EQ(sniff("\xFE\xFF\0<\0?"s), Format::musicxml);
  EXPECT_EQ(sniff("<\0?\0"s), Format::musicxml);
  EXPECT_EQ(sniff("\0<\0?"s), Format::musicxml);
}

TEST(Sniff, TextTab) {
  EXPECT_EQ(sniff("Dear class,\nhere it is:\n\nd|--0--2--|\nB|--1-----|\n"), Format::text_tab);
  EXPECT_EQ(sniff("--0---2--|\r\n----1----|\r\n"), Format::text_tab);
  EXPECT_EQ(sniff("> D|--0--|\n> B|-----|\n"), Format::text_tab);
  EXPECT_EQ(sniff("d|\xE2\x80\x94-0-|\nB|\xE2\x80\x94-0-|\n"), Format::text_tab);
  // One line of it, or lines of other things with hyphens.
  EXPECT_NE(refusal("Dear class,\nd|--0--2--|\nsee you").find("neither"), std::string::npos);
  EXPECT_NE(refusal("- eggs\n- milk\n--\nA. Handout\n").find("neither"), std::string::npos);
  EXPECT_NE(refusal("On 2026-01-31\nand 2026-02-01\n").find("neither"), std::string::npos);
}

TEST(Sniff, SaysWhatElseItIs) {
  EXPECT_NE(refusal("").find("empty"), std::string::npos);
  EXPECT_NE(refusal("<!DOCTYPE html><html>").find("HTML"), std::string::npos);
  EXPECT_NE(refusal("\xEF\xBB\xBF<HTML>").find("HTML"), std::string::npos);
  EXPECT_NE(refusal("%PDF-1.7").find("PDF"), std::string::npos);
  EXPECT_NE(refusal("\x89PNG\r\n").find("PNG"), std::string::npos);
  EXPECT_NE(refusal("RIFF\x10\0\0\0WAVEfmt "s).find("WAV"), std::string::npos);
  EXPECT_NE(refusal("ID3\x04").find("MP3"), std::string::npos);
  EXPECT_NE(refusal("\x1F\x8B\x08").find("gzip"), std::string::npos);
  EXPECT_NE(refusal("Dear class,").find("neither"), std::string::npos);
  EXPECT_NE(refusal("\0\0\0\0"s).find("neither"), std::string::npos);
  EXPECT_NE(refusal("   \n").find("neither"), std::string::npos);
}

}  // namespace
}  // namespace fifthpeg
