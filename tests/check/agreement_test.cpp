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
