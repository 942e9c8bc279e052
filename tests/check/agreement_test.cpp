// What a file says is one thing: the check finds no fault in what the reader understands.
#include <algorithm>
#include <gtest/gtest.h>

#include "check/sample.hpp"
#include "fifthpeg/check.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/read.hpp"

namespace {

using namespace check_test;
using fifthpeg::Direction;
using fifthpeg::Measure;
using fifthpeg::Note;
using fifthpeg::Reading;

bool finds(const std::string& file, std::string_view rule) {
  const auto findings = fifthpeg::check_file(file).findings;
  return std::any_of(findings.begin(), findings.end(), [rule](const auto& one) { return one.rule == rule; });
}

bool reports(const Reading& reading, std::string_view slug) {
  const auto& entries = reading.report.entries();
  return std::any_of(entries.begin(), entries.end(), [slug](const auto& one) { return one.slug == slug; });
}

// The note named f: F#3 at fret 4 of string 4.
const Note& note_f(const Reading& reading) {
  return reading.score.measures.at(1).strokes.at(1).notes.at(0);
}

TEST(ReaderAndCheckAgree, OnAPitchBetweenTwoHalfSteps) {
  const std::string file = changed(handout, {{"<alter>1</alter>", "<alter>0.5</alter>"}});
  const Reading reading = fifthpeg::read(file);
  EXPECT_TRUE(reports(reading, "musicxml-microtone"));
  EXPECT_EQ(to_string(note_f(reading).pitch), "F#3");
  EXPECT_FALSE(finds(file, "tab-fret-contradicts-pitch"));
  EXPECT_TRUE(
      finds(changed(handout, {{"<alter>1</alter>", "<alter>0.4</alter>"}}), "tab-fret-contradicts-pitch"));
}

TEST(ReaderAndCheckAgree, OnWhichNoteheadIsADeadNote) {
  const std::string wrong = changed(handout, {{"<alter>1</alter>", ""}});
  for (const char* head : {"x", "cross", "normal"}) {
    const std::string file =
        changed(wrong, {{"<type>half</type><notations><tied type=\"start\"/>",
                         "<type>half</type><notehead>normal</notehead><notations><tied type=\"start\"/>"},
                        {"<type>quarter</type><notations><slide type=\"stop\"/>",
                         "<type>quarter</type><notehead>" + std::string(head) +
                             "</notehead><notations><slide type=\"stop\"/>"}});
    const Reading reading = fifthpeg::read(file);
    EXPECT_EQ(finds(file, "tab-fret-contradicts-pitch"), !note_f(reading).dead) << head;
    EXPECT_EQ(note_f(reading).dead, std::string_view(head) != "normal") << head;
  }
}

TEST(ReaderAndCheckAgree, OnWhatIsAJump) {
  const auto with = [](const std::string& sound) {
    return changed(handout,
                   {{"<note><!--h-->", "<direction><direction-type><words>D.S.</words></direction-type>" +
                                           sound + "</direction>\n<note><!--h-->"}});
  };
  const auto jumps = [](const std::string& file) {
    const Reading reading = fifthpeg::read(file);
    return std::any_of(
        reading.score.measures.begin(), reading.score.measures.end(), [](const Measure& measure) {
          return std::any_of(measure.directions.begin(), measure.directions.end(),
                             [](const Direction& one) { return one.kind == Direction::Kind::dal_segno; });
        });
  };
  for (const char* sound : {"", "<sound dalsegno=\"segno\"/>"}) {
    EXPECT_EQ(jumps(with(sound)), *sound != 0);
    EXPECT_EQ(finds(with(sound), "pairs-dal-segno"), *sound != 0);
  }
  EXPECT_TRUE(reports(fifthpeg::read(with("")), "musicxml-jump-words"));
}

// A note's string, fret and other marks, or its tuning, as reading for a conversion tells of them.
bool finds_text(const std::string& file, std::string_view rule, std::string_view text) {
  const auto findings = fifthpeg::check_file(file).findings;
  return std::any_of(findings.begin(), findings.end(), [&](const auto& one) {
    return one.rule == rule && one.text.find(text) != std::string::npos;
  });
}

TEST(ReaderAndCheckAgree, OnATuningOfSixStringsOnFiveLines) {
  const std::string sixth =
      "<staff-tuning line=\"6\"><tuning-step>E</tuning-step><tuning-octave>4</tuning-octave></staff-tuning>";
  const std::string file =
      changed(handout, {{"</staff-details>", sixth + "</staff-details>"},
                        {"<string>5</string><fret>7</fret>", "<string>5</string><fret>2</fret>"}});
  EXPECT_TRUE(finds_text(file, "reading-repaired", "tuning") ||
              finds_text(file, "reading-left-out", "five-string"));
}

TEST(ReaderAndCheckAgree, OnAGuitarWithoutATuning) {
  const std::size_t tuning = handout.find("<staff-tuning line=\"1\">");
  const std::string file =
      changed(handout, {{handout.substr(tuning, handout.find("</staff-details>") - tuning), ""},
                        {"<part-name>Banjo</part-name>", "<part-name>Guitar</part-name>"}});
  EXPECT_TRUE(finds_text(file, "reading-repaired", "there is no tuning"));
}

TEST(ReaderAndCheckAgree, OnWhatAHandIsAskedForInVain) {
  EXPECT_TRUE(finds_text(changed(handout, {{"<string>1</string>", "<string>6</string>"}}),
                         "tab-string-not-there", "its pitch is fret 0 of string 1"));
  EXPECT_TRUE(finds_text(
      changed(handout, {{"<hammer-on type=\"stop\"/>", "<pluck>M</pluck><hammer-on type=\"stop\"/>"}}),
      "reading-left-out", "a picking finger is left out"));
  const auto role = [](std::string_view name) {
    const std::string end = "H</hammer-on></technical></notations>";
    const std::string play =
        "<play><other-play type=\"fifthpeg-role\">" + std::string(name) + "</other-play></play>";
    return changed(handout, {{end, end + play}});
  };
  EXPECT_TRUE(finds_text(role("harmony"), "reading-left-out", "a role that is not one of melody"));
  EXPECT_FALSE(finds_text(role("melody"), "reading-left-out", "role"));
  const std::string damp =
      "<direction><direction-type><damp-all/></direction-type></direction>\n<note><rest/><duration>24</"
      "duration>"
      "<voice>1</voice><type>whole</type></note>\n</measure>\n<measure number=\"1b\">\n";
  const std::string sign = changed(handout, {{"<note><!--a-->", damp + "<note><!--a-->"}});
  EXPECT_TRUE(finds_text(sign, "reading-left-out", "a sign to damp"));
}

TEST(ReaderAndCheckAgree, OnTextThatIsNotXmlAndIsReadAllTheSame) {
  const std::vector<std::vector<Change>> damage{
      {{"Lick", "Caf\xE9"}}, {{"Lick", "Lick & Roll"}}, {{"Lick", "Li\x01k"}}};
  for (std::vector<Change> changes : damage) {
    changes.emplace_back("<string>4</string><fret>4</fret>", "<string>4</string><fret>5</fret>");
    changes.emplace_back("<step>C</step>", "<stop>C</stop>");
    const std::string file = changed(handout, changes);
    EXPECT_NO_THROW(fifthpeg::read(file));
    EXPECT_TRUE(fifthpeg::check_file(file).readable) << changes[0].second;
    EXPECT_TRUE(finds(file, "tab-fret-contradicts-pitch"));
    EXPECT_TRUE(finds(file, "grammar-unknown-element"));  // behind what is not XML
    EXPECT_TRUE(finds(file, "grammar-not-xml") || finds(file, "file-encoding-lies"));
  }
}

// A one-beat pickup makes up for what the end of a part lacks, and for no other measure.
TEST(ReaderAndCheckAgree, OnAShortMeasureAfterAPickup) {
  const auto note = [](const std::string& name) {
    const std::size_t from = handout.find("<note><!--" + name + "-->");
    return Change{handout.substr(from, handout.find("</note>\n", from) + 8 - from), ""};
  };
  const std::vector<Change> pickup{
      note("b"), note("c"), note("d"), {"<measure number=\"1\">", "<measure number=\"1\" implicit=\"yes\">"}};
  std::vector<Change> in_the_middle = pickup;
  in_the_middle.push_back(note("e"));
  EXPECT_TRUE(finds(changed(handout, in_the_middle), "time-measure-too-short"));
  std::vector<Change> at_the_end = pickup;
  at_the_end.push_back(note("l"));
  EXPECT_FALSE(finds(changed(handout, at_the_end), "time-measure-too-short"));
}

TEST(ReaderAndCheckAgree, OnValuesWhereDivisionsAreFew) {
  const std::string head =
      R"(<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Banjo</part-name></score-part></part-list>
<part id="P1"><measure number="1"><attributes><divisions>DIVISIONS</divisions><time><beats>2</beats><beat-type>4</beat-type></time></attributes>)";
  const auto note = [](int duration, const std::string& type, bool triplet) {
    return "<note><pitch><step>G</step><octave>3</octave></pitch><duration>" + std::to_string(duration) +
           "</duration><type>" + type + "</type>" +
           (triplet ? "<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes>"
                      "</time-modification>"
                    : "") +
           "</note>\n";
  };
  const auto file = [&](const std::string& divisions, const std::string& notes) {
    return changed(head, {{"DIVISIONS", divisions}}) + notes + "</measure></part></score-partwise>";
  };
  const std::string second = note(1, "quarter", false);
  for (const char* type : {"eighth", "half", "16th"}) {
    const std::string wrong = file("1", note(1, type, false) + second);
    EXPECT_TRUE(finds(wrong, "time-type-contradicts-duration")) << type;
    EXPECT_TRUE(reports(fifthpeg::read(wrong), "musicxml-printed-value")) << type;
  }
  // Three in the time of two eighths cannot be said in whole quarters of a quarter: they are rounded.
  const std::string rounded = note(1, "eighth", true) + note(1, "eighth", true) + note(2, "eighth", true);
  const std::string triplet = file("4", rounded + note(4, "quarter", false));
  EXPECT_FALSE(finds(triplet, "time-type-contradicts-duration"));
  EXPECT_FALSE(reports(fifthpeg::read(triplet), "musicxml-printed-value"));
}

// What the reader gives up is told, and the rest of the file is checked.
TEST(ReaderAndCheckAgree, OnWhatIsNoMusic) {
  const std::string file = changed(
      handout,
      {{"<!--f--><pitch><step>F</step><alter>1</alter><octave>3</octave></pitch><duration>6</duration>",
        "<!--f--><pitch><step>F</step><octave>3</octave></pitch><duration>600000</duration>"}});
  EXPECT_THROW(fifthpeg::read(file), fifthpeg::ReadError);
  EXPECT_TRUE(finds(file, "time-measure-too-long"));
  EXPECT_TRUE(finds(file, "tab-fret-contradicts-pitch"));
}

}  // namespace
