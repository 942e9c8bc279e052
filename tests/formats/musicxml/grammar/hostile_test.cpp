// Files that mean harm, or are not XML at all: a finding each time, nothing opened, nothing unbounded.
#include <filesystem>
#include <fstream>
#include <gtest/gtest.h>
#include <string>

#include "formats/musicxml/grammar.hpp"

namespace fifthpeg::musicxml::grammar {
namespace {

GrammarVerdict check(std::string_view document) {
  return Grammar::of(Grammar::Of::score).check(document);
}

std::string score(std::string_view title) {
  return "<score-partwise version='4.0'><movement-title>" + std::string(title) +
         "</movement-title><part-list><score-part id='P1'><part-name/></score-part></part-list>"
         "<part id='P1'><measure number='1'/></part></score-partwise>";
}

// A file that would make the document valid or leave a trace, were it read.
class SecretFile {
 public:
  SecretFile()
      : path_(std::filesystem::temp_directory_path() /
              ("fifthpeg-secret-" + std::to_string(::testing::UnitTest::GetInstance()->random_seed()) +
               ".txt")) {
    std::ofstream(path_) << "SECRET";
  }
  ~SecretFile() { std::filesystem::remove(path_); }
  SecretFile(const SecretFile&) = delete;
  SecretFile& operator=(const SecretFile&) = delete;
  std::string address() const { return "file://" + path_.string(); }

 private:
  std::filesystem::path path_;
};

TEST(HostileXml, DoctypeOfTheStandardIsNotFetched) {
  EXPECT_TRUE(
      check("<?xml version='1.0'?><!DOCTYPE score-partwise PUBLIC "
            "'-//Recordare//DTD MusicXML 4.0 Partwise//EN' 'http://www.musicxml.org/dtds/partwise.dtd'>" +
            score("Reel"))
          .valid());
}

TEST(HostileXml, EntityOfAnotherFileIsNotRead) {
  const SecretFile secret;
  // In a place where only "SECRET" or nothing could be right: a value that is judged.
  const std::string document =
      "<!DOCTYPE score-partwise [<!ENTITY x SYSTEM '" + secret.address() + "'>]>" + score("&x;");
  const GrammarVerdict verdict = check(document);
  ASSERT_FALSE(verdict.valid());
  EXPECT_EQ(verdict.findings[0].fault, GrammarFault::unfetched_entity);
  EXPECT_EQ(verdict.findings[0].message.find("SECRET"), std::string::npos);
}

TEST(HostileXml, ParameterEntityOfAnotherFileIsNotRead) {
  const std::filesystem::path dtd = std::filesystem::temp_directory_path() / "fifthpeg-hostile.dtd";
  std::ofstream(dtd) << "<!ENTITY title 'Reel'>";
  // Were the other file read, &title; would be declared and the score valid.
  const GrammarVerdict verdict = check("<!DOCTYPE score-partwise [<!ENTITY % more SYSTEM 'file://" +
                                       dtd.string() + "'> %more;]>" + score("&title;"));
  std::filesystem::remove(dtd);
  ASSERT_FALSE(verdict.valid());
  EXPECT_EQ(verdict.findings[0].fault, GrammarFault::unfetched_entity);
}

TEST(HostileXml, ExternalSubsetIsNotRead) {
  const std::filesystem::path dtd = std::filesystem::temp_directory_path() / "fifthpeg-hostile-subset.dtd";
  std::ofstream(dtd) << "<!ENTITY title 'Reel'>";
  const GrammarVerdict verdict =
      check("<!DOCTYPE score-partwise SYSTEM 'file://" + dtd.string() + "'>" + score("&title;"));
  std::filesystem::remove(dtd);
  ASSERT_FALSE(verdict.valid());
  EXPECT_EQ(verdict.findings[0].fault, GrammarFault::unfetched_entity);
}

TEST(HostileXml, SchemaThatTheDocumentNamesIsNotRead) {
  EXPECT_TRUE(check("<score-partwise version='4.0' xmlns:xsi='http://www.w3.org/2001/XMLSchema-instance' "
                    "xsi:noNamespaceSchemaLocation='file:///nowhere/evil.xsd'><part-list><score-part id='P1'>"
                    "<part-name/></score-part></part-list><part id='P1'><measure number='1'/></part>"
                    "</score-partwise>")
                  .valid());
}

TEST(HostileXml, EntitiesOfTheDocumentItselfAreExpanded) {
  EXPECT_TRUE(check("<!DOCTYPE score-partwise [<!ENTITY x 'Reel'>]>" + score("&x; &amp; jig")).valid());
  // And judged where they end up.
  const std::string measure =
      "<note><pitch><step>&s;</step><octave>4</octave></pitch><duration>1</duration></note>";
  std::string document = score("");
  document.insert(document.find("<measure number='1'/>"), "<measure number='0'>" + measure + "</measure>");
  EXPECT_TRUE(check("<!DOCTYPE score-partwise [<!ENTITY s 'G'>]>" + document).valid());
  EXPECT_EQ(check("<!DOCTYPE score-partwise [<!ENTITY s 'H'>]>" + document).count, 1U);
  EXPECT_EQ(check("<!DOCTYPE score-partwise [<!ENTITY s '<foo/>'>]>" + document).findings.at(0).fault,
            GrammarFault::unknown_element);
}

// Ten entities, each ten times the one before: ten thousand million characters, were they all written out.
std::string laughs(std::string_view use) {
  std::string document = "<!DOCTYPE score-partwise [<!ENTITY e0 'ha'>";
  for (int i = 1; i <= 10; ++i) {
    document += "<!ENTITY e" + std::to_string(i) + " '";
    for (int j = 0; j < 10; ++j) document += "&e" + std::to_string(i - 1) + ";";
    document += "'>";
  }
  return document + "]>" + score(use);
}

TEST(HostileXml, EntitiesThatGrowAreStopped) {
  const GrammarVerdict verdict = check(laughs("&e10;"));
  ASSERT_FALSE(verdict.valid());
  EXPECT_EQ(verdict.findings.back().fault, GrammarFault::not_xml);
  EXPECT_NE(verdict.findings.back().message.find("entity expands"), std::string::npos);
}

TEST(HostileXml, EntityThatHoldsItselfIsStopped) {
  const GrammarVerdict verdict =
      check("<!DOCTYPE score-partwise [<!ENTITY a '&b;'><!ENTITY b '&a;'>]>" + score("&a;"));
  ASSERT_FALSE(verdict.valid());
  EXPECT_EQ(verdict.findings.back().fault, GrammarFault::not_xml);
}

TEST(HostileXml, DeepNestingIsAFinding) {
  std::string deep;
  for (int i = 0; i < 100000; ++i) deep += "<a>";
  const GrammarVerdict verdict = check(deep);
  ASSERT_FALSE(verdict.valid());
  // Known elements that may hold themselves do not exist; unknown ones are not followed, yet counted.
  const GrammarVerdict inside = check("<score-partwise version='4.0'>" + deep);
  ASSERT_FALSE(inside.valid());
  EXPECT_EQ(inside.findings.back().fault, GrammarFault::too_much);
  EXPECT_EQ(inside.findings.back().message,
            "elements are nested more than 256 deep, or a text is longer than 10 MB");
}

TEST(HostileXml, LongTextsAreReadOnce) {
  // Where any text may stand, a long one may; elsewhere it is a finding, and one that can be read.
  EXPECT_TRUE(check(score(std::string(11'000'000, 'x'))).valid());
  std::string document = score("");
  document.insert(document.find("<part-list>"), "<credit page='1'><credit-words/></credit>");
  document.insert(document.find("<measure number='1'/>"), "<measure number='0'><note><rest/><duration>" +
                                                              std::string(1'000'000, '1') +
                                                              "</duration></note></measure>");
  const GrammarVerdict verdict = check(document);
  ASSERT_EQ(verdict.count, 1U);
  EXPECT_EQ(verdict.findings[0].fault, GrammarFault::bad_value);
  EXPECT_LT(verdict.findings[0].message.size(), 200U);
  // libxml2 takes no attribute of that length.
  EXPECT_FALSE(check("<score-partwise version='" + std::string(11'000'000, 'x') + "'/>").valid());
}

TEST(HostileXml, CrowdsInOneElementAreStopped) {
  std::string crowd;
  for (int i = 0; i < 500'002; ++i) crowd += "<p/>";
  std::string document = score("");
  document.insert(document.find("<measure number='1'/>"),
                  "<measure number='0'><direction><direction-type><dynamics>" + crowd +
                      "</dynamics></direction-type></direction></measure>");
  const GrammarVerdict verdict = check(document);
  ASSERT_EQ(verdict.count, 1U);
  EXPECT_EQ(verdict.findings[0].fault, GrammarFault::too_much);
}

TEST(HostileXml, LongNamesAndValuesAreCutInWords) {
  const std::string name(40000, 'n');
  const GrammarVerdict verdict =
      check("<score-partwise version='4.0'><" + name + "/><part-list><score-part id='" +
            std::string(1000, 'i') + "'><x/></score-part></part-list></score-partwise>");
  ASSERT_FALSE(verdict.valid());
  for (const GrammarFinding& finding : verdict.findings) {
    EXPECT_LT(finding.message.size(), 300U);
    EXPECT_LT(finding.place.words.size(), 300U);
  }
}

TEST(HostileXml, LineBreaksInValuesDoNotBreakTheMessage) {
  const GrammarVerdict verdict =
      check("<score-partwise version='4.0'><credit page='a&#10;b\x7F'/></score-partwise>");
  ASSERT_FALSE(verdict.valid());
  EXPECT_EQ(verdict.findings[0].message, "page on <credit> is \"a b \"");
}

TEST(HostileXml, WhatIsNotXmlIsOneFindingWithItsLine) {
  const auto fault_of = [](std::string_view document) {
    const GrammarVerdict verdict = check(document);
    EXPECT_EQ(verdict.count, 1U) << document.substr(0, 40);
    return verdict.findings.empty() ? std::string() : verdict.findings[0].message;
  };
  EXPECT_EQ(fault_of(""), "the file is empty, or does not start as XML does");
  EXPECT_EQ(fault_of("MThd"), "the file is empty, or does not start as XML does");
  EXPECT_EQ(fault_of("<score-partwise>\n<part-list"), "a tag is not closed as it should be");
  const GrammarVerdict crossed = check("<score-partwise>\n<work>\n</wrok>");
  ASSERT_EQ(crossed.count, 1U);
  EXPECT_EQ(crossed.findings[0].line, 3);
  EXPECT_EQ(crossed.findings[0].place.words, "work");
  EXPECT_EQ(crossed.findings[0].message, "<work>, which begins in line 2, is not closed before </wrok>");
}

// Every beginning of a file is read without harm, and no beginning but the whole is valid.
TEST(HostileXml, EveryCutIsAFinding) {
  const std::string whole = score("Reel");
  EXPECT_TRUE(check(whole).valid());
  for (std::size_t length = 0; length < whole.size(); ++length)
    EXPECT_FALSE(check(std::string_view(whole).substr(0, length)).valid()) << length;
}

}  // namespace
}  // namespace fifthpeg::musicxml::grammar
