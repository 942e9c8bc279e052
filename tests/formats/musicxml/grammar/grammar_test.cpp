// The grammar's findings: their places, their words, and what may stand there instead. What may stand where
// is from the MusicXML 4.0 reference (W3C Music Notation Community Group); that ours is the published grammar
// is shown in tests/reference.
#include "formats/musicxml/grammar.hpp"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <gtest/gtest.h>
#include <iterator>
#include <string>
#include <thread>
#include <vector>

namespace fifthpeg::musicxml::grammar {
namespace {

constexpr std::string_view good_note =
    "<note><pitch><step>G</step><octave>4</octave></pitch><duration>1</duration></note>";

std::string score(std::string_view measure, std::string_view attributes = "version=\"4.0\"") {
  std::string text = "<score-partwise ";
  text.append(attributes)
      .append(">\n<part-list><score-part id=\"P1\"><part-name/></score-part></part-list>\n");
  text.append("<part id=\"P1\">\n<measure number=\"7\">\n").append(measure);
  return text.append("\n</measure>\n</part>\n</score-partwise>\n");
}

std::string note(std::string_view inside) {
  return "<note>" + std::string(inside) + "</note>";
}

GrammarVerdict check(std::string_view document) {
  return Grammar::of(Grammar::Of::score).check(document);
}

// The one finding of a measure with one mistake. The measure starts on line 5.
GrammarFinding only(std::string_view measure) {
  const GrammarVerdict verdict = check(score(measure));
  EXPECT_EQ(verdict.count, 1U);
  EXPECT_EQ(verdict.findings.size(), 1U);
  return verdict.findings.empty() ? GrammarFinding{} : verdict.findings.front();
}

bool lists(const GrammarFinding& finding, std::string_view what) {
  return finding.expected.find(what) != std::string::npos;
}

TEST(Grammar, FindsNothingInWhatIsRight) {
  EXPECT_TRUE(check(score(good_note)).valid());
  const GrammarVerdict timewise = check(
      "<score-timewise version='4.0'><part-list><score-part id='P1'><part-name/></score-part></part-list>"
      "<measure number='1'><part id='P1'>" +
      std::string(good_note) + "</part></measure></score-timewise>");
  EXPECT_TRUE(timewise.valid());
  EXPECT_EQ(timewise.root, "score-timewise");
}

TEST(Grammar, MisspelledElementNamesTheOneThatIsMeant) {
  const GrammarFinding found =
      only(std::string(good_note) + "\n" +
           note("<picth><step>G</step><octave>4</octave></picth><duration>1</duration>"));
  EXPECT_EQ(found.fault, GrammarFault::unknown_element);
  EXPECT_EQ(found.line, 6);
  EXPECT_EQ(found.place.words, "part P1, measure 7, note 2");
  EXPECT_EQ(found.message, "<picth> is not an element of MusicXML; <pitch> may be meant");
  EXPECT_TRUE(lists(found, "<pitch>, <unpitched>, <rest>"));
}

TEST(Grammar, ElementFromElsewhereNamesWhereItBelongs) {
  const GrammarFinding found = only(note("<rest/><duration>1</duration><fret>5</fret>"));
  EXPECT_EQ(found.fault, GrammarFault::unknown_element);
  EXPECT_EQ(found.message, "<fret> does not belong in <note> but in <technical> or <frame-note>");
}

TEST(Grammar, MissingDuration) {
  const GrammarFinding found = only(note("<pitch><step>G</step><octave>4</octave></pitch>"));
  EXPECT_EQ(found.fault, GrammarFault::missing_element);
  EXPECT_EQ(found.place.words, "part P1, measure 7, note 1");
  EXPECT_EQ(found.message, "<note> ends after <pitch>");
  EXPECT_EQ(found.expected, "<duration>");
}

TEST(Grammar, MissingDurationBeforeOtherThingsIsOneFinding) {
  const GrammarFinding found = only(note("<rest/><voice>1</voice><type>quarter</type><stem>up</stem>"));
  EXPECT_EQ(found.fault, GrammarFault::misplaced_element);
  EXPECT_EQ(found.message, "<voice> cannot come after <rest> in <note>");
  EXPECT_EQ(found.expected, "<duration>");
}

TEST(Grammar, WrongOrder) {
  const GrammarFinding found =
      only(note("<pitch><octave>4</octave><step>G</step></pitch><duration>1</duration>"));
  EXPECT_EQ(found.fault, GrammarFault::misplaced_element);
  EXPECT_EQ(found.place.words, "part P1, measure 7, note 1, pitch");
  EXPECT_EQ(found.message, "<octave> cannot come first in <pitch>");
  EXPECT_EQ(found.expected, "<step>");
}

TEST(Grammar, OneTooMany) {
  const GrammarFinding found = only(note("<rest/><duration>1</duration><duration>1</duration>"));
  EXPECT_EQ(found.message, "there is one <duration> more than is allowed in <note>");
  const GrammarFinding ninth = only(note("<rest/><duration>1</duration>" + [] {
    std::string beams;
    for (int i = 0; i < 9; ++i) beams += "<beam>begin</beam>";
    return beams;
  }()));
  EXPECT_EQ(ninth.fault, GrammarFault::misplaced_element);
}

TEST(Grammar, StepH) {
  const GrammarFinding found =
      only(note("<pitch><step>H</step><octave>4</octave></pitch><duration>1</duration>"));
  EXPECT_EQ(found.fault, GrammarFault::bad_value);
  EXPECT_EQ(found.place.words, "part P1, measure 7, note 1, pitch, step");
  EXPECT_EQ(found.message, "<step> is \"H\"");
  EXPECT_EQ(found.expected, "A, B, C, D, E, F or G");
}

TEST(Grammar, NumbersOutOfRange) {
  EXPECT_EQ(only(note("<rest/><duration>0</duration>")).expected, "a number above 0");
  EXPECT_EQ(only(note("<rest/><duration/>")).message, "<duration> is empty");
  EXPECT_EQ(only(note("<pitch><step>G</step><octave>10</octave></pitch><duration>1</duration>")).expected,
            "a whole number from 0 to 9");
  EXPECT_EQ(only("<sound pan='181'/>").expected, "a number from -180 to 180");
}

TEST(Grammar, AttributeValueOutOfTheSet) {
  const GrammarFinding found = only(note("<rest/><duration>1</duration><tie type='begin'/>"));
  EXPECT_EQ(found.fault, GrammarFault::bad_value);
  EXPECT_EQ(found.message, "type on <tie> is \"begin\"");
  EXPECT_EQ(found.expected, "start or stop");
}

TEST(Grammar, ValuesWithAFormAreExplained) {
  EXPECT_EQ(only("<note color='red'><rest/><duration>1</duration></note>").expected,
            "a color as #RRGGBB or #AARRGGBB, in digits and the capitals A to F");
  EXPECT_EQ(only("<barline><ending number='one' type='start'/></barline>").expected,
            "numbers from 1 with commas between them, such as 1,2, or only spaces");
}

TEST(Grammar, MissingRequiredAttribute) {
  const GrammarFinding found = only(note("<rest/><duration>1</duration><tie/>"));
  EXPECT_EQ(found.fault, GrammarFault::missing_attribute);
  EXPECT_EQ(found.message, "<tie> has no type");
  EXPECT_EQ(found.expected, "type with start or stop");
  EXPECT_EQ(only("<link/>").message, "<link> has no xlink:href");
}

TEST(Grammar, UnknownAttributeNamesTheOneThatIsMeant) {
  const GrammarFinding found = only("<note defaultx='3'><rest/><duration>1</duration></note>");
  EXPECT_EQ(found.fault, GrammarFault::unknown_attribute);
  EXPECT_EQ(found.message, "<note> has no attribute \"defaultx\"; default-x may be meant");
  EXPECT_TRUE(lists(found, "default-x, default-y"));
}

TEST(Grammar, TextWhereNoneBelongs) {
  const GrammarFinding between = only("half a note");
  EXPECT_EQ(between.fault, GrammarFault::unexpected_text);
  EXPECT_EQ(between.message, "<measure> holds the text \"half a note\" between its elements");
  EXPECT_TRUE(lists(between, "<note>"));
  const GrammarFinding inside = only(note("<chord>x</chord><rest/><duration>1</duration>"));
  EXPECT_EQ(inside.message, "<chord> must be empty and holds \"x\"");
}

TEST(Grammar, OneMistakeDoesNotHideTheNext) {
  const GrammarVerdict verdict =
      check(score("<foo/>\n" + note("<rest/>") + "\n" + std::string(good_note) + "<bar/>\n<sound pan='x'/>"));
  ASSERT_EQ(verdict.count, 4U);
  EXPECT_EQ(verdict.findings[0].line, 5);
  EXPECT_EQ(verdict.findings[1].line, 6);
  EXPECT_EQ(verdict.findings[2].line, 7);
  EXPECT_EQ(verdict.findings[3].place.words, "part P1, measure 7, sound");
}

TEST(Grammar, IdsAreUniqueAndReferencesFindThem) {
  const GrammarFinding twice = only("<barline id='x'/>\n<barline id='x'/>");
  EXPECT_EQ(twice.fault, GrammarFault::repeated_id);
  EXPECT_EQ(twice.line, 6);
  EXPECT_EQ(twice.message, "the id \"x\" is already used on line 5");
  const GrammarFinding lost = only(note("<rest/><duration>1</duration><instrument id='P1-I9'/>"));
  EXPECT_EQ(lost.fault, GrammarFault::dangling_reference);
  EXPECT_EQ(lost.place.words, "part P1, measure 7, note 1, instrument");
}

TEST(Grammar, OlderVersionsAreJudgedBy40AndItIsSaid) {
  EXPECT_EQ(check(score(good_note)).judged, "");
  const GrammarVerdict older = check(score(good_note, "version='3.1'"));
  EXPECT_TRUE(older.valid());
  EXPECT_EQ(older.judged, "the file is MusicXML 3.1; it was checked against 4.0");
  // The standard takes a file that states no version for 1.0.
  EXPECT_EQ(check(score(good_note, "")).version, "1.0");
  EXPECT_NE(check(score(good_note, "version='5.0'")).judged.find("unknown version"), std::string::npos);
}

TEST(Grammar, OtherRootsAreNamed) {
  // Every declared element could start a file by XML Schema; a score starts with one of two.
  const GrammarVerdict verdict = check("<note><rest/><duration>1</duration></note>");
  ASSERT_EQ(verdict.count, 1U);
  EXPECT_EQ(verdict.findings[0].fault, GrammarFault::wrong_root);
  EXPECT_EQ(verdict.findings[0].expected, "<score-partwise> or <score-timewise>");
  EXPECT_EQ(check("<score-partwise xmlns='urn:x'/>").findings.at(0).fault, GrammarFault::wrong_root);
}

TEST(Grammar, ElementsOfANamespace) {
  const GrammarFinding found = only("<x:note xmlns:x='urn:x'/>");
  EXPECT_EQ(found.fault, GrammarFault::unknown_element);
  EXPECT_EQ(found.message, "<note> is of the namespace \"urn:x\", and MusicXML has none");
}

TEST(Grammar, KeepsTheFirstFindingsAndCountsAll) {
  std::string many;
  for (int i = 0; i < 50; ++i) many += "<foo/>";
  const GrammarVerdict verdict = Grammar::of(Grammar::Of::score).check(score(many), 10);
  EXPECT_EQ(verdict.count, 50U);
  EXPECT_EQ(verdict.findings.size(), 10U);
}

TEST(Grammar, EncodingsThatXmlAllows) {
  const std::string latin =
      "<?xml version='1.0' encoding='ISO-8859-1'?>" + score(
                                                          "<direction><direction-type><words>\xE9</words>"
                                                          "</direction-type></direction>");
  EXPECT_TRUE(check(latin).valid());
  std::string wide = "\xFF\xFE";
  for (const char letter : score(good_note)) (wide += letter) += '\0';
  EXPECT_TRUE(check(wide).valid());
  const GrammarVerdict broken = check(score("<sound id='\xE9'/>"));
  ASSERT_EQ(broken.findings.size(), 1U);
  EXPECT_EQ(broken.findings[0].fault, GrammarFault::not_xml);
  EXPECT_EQ(broken.findings[0].line, 5);
}

TEST(Grammar, OneGrammarServesManyThreads) {
  std::vector<std::uint64_t> counts(8);
  std::vector<std::thread> threads;
  for (std::uint64_t& count : counts)
    threads.emplace_back([&count] {
      for (int i = 0; i < 20; ++i) count += check(score("<foo/><sound pan='x'/>")).count;
    });
  for (std::thread& thread : threads) thread.join();
  for (const std::uint64_t count : counts) EXPECT_EQ(count, 40U);
}

// "Sanity" of speed without a clock: the grammar that is handed out is one and the same, compiled once.
TEST(Grammar, IsCompiledOnce) {
  EXPECT_EQ(&Grammar::of(Grammar::Of::score), &Grammar::of(Grammar::Of::score));
  EXPECT_NE(&Grammar::of(Grammar::Of::score), &Grammar::of(Grammar::Of::container));
}

TEST(Grammar, FixturesAreClean) {
  int files = 0;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(FIXTURES)) {
    if (entry.path().extension() != ".musicxml") continue;
    ++files;
    std::ifstream in(entry.path(), std::ios::binary);
    const std::string text{std::istreambuf_iterator<char>(in), {}};
    const GrammarVerdict verdict = check(text);
    EXPECT_TRUE(verdict.valid()) << entry.path() << ": "
                                 << (verdict.findings.empty() ? "" : verdict.findings[0].message);
  }
  EXPECT_GT(files, 0);
}

GrammarVerdict check_container(std::string_view document) {
  return Grammar::of(Grammar::Of::container).check(document);
}

TEST(ContainerGrammar, TakesOneOrMoreRootfiles) {
  EXPECT_TRUE(check_container("<?xml version='1.0' encoding='UTF-8'?><container><rootfiles>"
                              "<rootfile full-path='score.musicxml'/>"
                              "<rootfile full-path='score.pdf' media-type='application/pdf'/>"
                              "</rootfiles></container>")
                  .valid());
  EXPECT_EQ(check_container("<container><rootfiles/></container>").findings.at(0).expected, "<rootfile>");
  const GrammarFinding pathless =
      check_container("<container><rootfiles><rootfile/></rootfiles></container>").findings.at(0);
  EXPECT_EQ(pathless.message, "<rootfile> has no full-path");
  EXPECT_EQ(pathless.place.words, "rootfiles, rootfile");
  EXPECT_TRUE(check_container("<container/>").judged.empty());
  EXPECT_EQ(check_container(score(good_note)).findings.at(0).fault, GrammarFault::wrong_root);
}

}  // namespace
}  // namespace fifthpeg::musicxml::grammar
