// What a check says about a file as a whole: order, silence, damage; and what mend() does to it.
#include <algorithm>
#include <gtest/gtest.h>

#include "check/sample.hpp"
#include "fifthpeg/check.hpp"
#include "fifthpeg/errors.hpp"

namespace {

using namespace check_test;
using fifthpeg::check_file;
using fifthpeg::Checked;
using fifthpeg::CheckOptions;
using fifthpeg::fix;
using fifthpeg::FixResult;
using fifthpeg::Severity;

bool has(const Checked& checked, std::string_view rule) {
  return std::any_of(checked.findings.begin(), checked.findings.end(),
                     [rule](const auto& one) { return one.rule == rule; });
}

// Three faults of three weights.
std::string faulty() {
  return changed(handout, {{"<rights>Free to copy</rights>", ""},
                           {"<slur type=\"stop\"/>", ""},
                           {"<string>4</string><fret>4</fret>", "<string>4</string><fret>5</fret>"}});
}

TEST(CheckFile, WorstFirst) {
  const Checked checked = check_file(faulty());
  ASSERT_EQ(checked.findings.size(), 3U);
  EXPECT_EQ(checked.findings[0].rule, "tab-fret-contradicts-pitch");
  EXPECT_EQ(checked.findings[1].rule, "pairs-slur");
  EXPECT_EQ(checked.findings[2].rule, "teaching-no-rights");
  EXPECT_EQ(checked.count(Severity::error), 1U);
  EXPECT_EQ(checked.findings[0].string, 4);
  EXPECT_EQ(checked.findings[0].place.measure, "2");
  EXPECT_EQ(checked.findings[0].place.beat, fifthpeg::Fraction(2));
  EXPECT_EQ(checked.format, "MusicXML");
  EXPECT_TRUE(checked.readable);
}

TEST(CheckFile, SameEachTime) {
  EXPECT_EQ(check_file(faulty()).findings, check_file(faulty()).findings);
}

TEST(CheckFile, SeveritiesAndFamiliesToChoose) {
  CheckOptions options;
  options.least = Severity::error;
  EXPECT_EQ(check_file(faulty(), options).findings.size(), 1U);
  options.least = Severity::note;
  options.most = Severity::warning;
  EXPECT_FALSE(has(check_file(faulty(), options), "tab-fret-contradicts-pitch"));
  options.most = Severity::error;
  options.only = {"pairs"};
  EXPECT_EQ(check_file(faulty(), options).findings.size(), 1U);
  options.only = {"tab", "teaching-no-rights"};
  EXPECT_EQ(check_file(faulty(), options).findings.size(), 2U);
  options.skip = {"tab"};
  EXPECT_EQ(check_file(faulty(), options).findings.size(), 1U);
  options.skip = {"no-such-rule"};
  EXPECT_THROW(check_file(faulty(), options), fifthpeg::UsageError);
}

TEST(CheckFile, AFileAsksForSilence) {
  const std::string asking =
      changed(faulty(), {{"<work>", "<?fifthpeg-check silence=\"pairs-slur, teaching\"?>\n<work>"}});
  const Checked checked = check_file(asking);
  EXPECT_EQ(checked.silenced, (std::vector<std::string>{"pairs-slur", "teaching"}));
  ASSERT_EQ(checked.findings.size(), 1U);
  EXPECT_EQ(checked.findings[0].rule, "tab-fret-contradicts-pitch");
}

TEST(CheckFile, OnlyRulesAreSilencedAndEachOnce) {
  const std::string asking = changed(
      faulty(),
      {{"<work>",
        "<?fifthpeg-check silence=\"teaching no-such-rule\"?>\n<?fifthpeg-check silence=\"teaching\"?>"
        "<work>"}});
  EXPECT_EQ(check_file(asking).silenced, std::vector<std::string>{"teaching"});
  const std::string open = changed(faulty(), {{"<work>", "<?fifthpeg-check silence=\"teaching\" <work>"}});
  EXPECT_TRUE(check_file(open).silenced.empty());
}

TEST(CheckFile, AMidiFileAsksForSilence) {
  const std::string words = "fifthpeg-check silence: midi-tempo";
  const std::string tempo = bytes({0, 0xFF, 0x51, 3, 0, 0, 0});
  const std::string text = bytes({0, 0xFF, 1, static_cast<int>(words.size())}) + words;
  EXPECT_TRUE(has(check_file(midi(midi_head + tempo + midi_notes + midi_end)), "midi-tempo"));
  const Checked checked = check_file(midi(midi_head + text + tempo + midi_notes + midi_end));
  EXPECT_FALSE(has(checked, "midi-tempo"));
  EXPECT_EQ(checked.silenced, std::vector<std::string>{"midi-tempo"});
}

TEST(CheckFile, WhatStandsBeforeTheDamageIsChecked) {
  const std::string cut = faulty().substr(0, faulty().find("<!--l-->"));
  const Checked checked = check_file(cut);
  EXPECT_FALSE(checked.readable);
  EXPECT_TRUE(has(checked, "tab-fret-contradicts-pitch"));
  EXPECT_TRUE(has(checked, "grammar-not-xml"));
  EXPECT_FALSE(has(checked, "pairs-slur"));  // its end may well have stood behind

  const std::string stray = midi_head + bytes({0, 0x80, 40, 0}) + midi_notes;
  const std::string whole = midi(stray + midi_end);
  const Checked half = check_file(whole.substr(0, whole.size() - 7));
  EXPECT_FALSE(half.readable);
  EXPECT_TRUE(has(half, "midi-cut-off"));
  EXPECT_TRUE(has(half, "midi-stray-note-off"));
  EXPECT_FALSE(has(half, "midi-hanging-note"));
}

// Without a tuning a place that no known tuning explains is what is wrong, be it the only one on its string.
TEST(CheckFile, AWrongPlaceWithoutATuning) {
  const std::size_t tuning = handout.find("<staff-tuning line=\"1\">");
  const Change untuned{handout.substr(tuning, handout.find("</staff-details>") - tuning), ""};
  const Change wrong{"<string>4</string><fret>2</fret>", "<string>4</string><fret>3</fret>"};
  const Change other{"<string>4</string><fret>4</fret>", ""};
  for (const auto& changes : {std::vector{untuned, wrong}, std::vector{untuned, wrong, other}}) {
    const std::string text = changed(handout, changes);
    const Checked checked = check_file(text);
    ASSERT_TRUE(has(checked, "tab-fret-contradicts-pitch"));
    EXPECT_TRUE(has(checked, "tab-no-tuning"));
    EXPECT_EQ(checked.findings[0].text, "fret 3 is F3, and the note is E3; fret 2 would be E3");
    EXPECT_EQ(checked.findings[0].place.measure, "2");
    EXPECT_EQ(checked.findings[0].string, 4);
    EXPECT_TRUE(has(check_file(fix(text).bytes), "tab-no-tuning"));  // not beyond doubt
  }
  EXPECT_FALSE(has(check_file(changed(handout, {untuned})), "tab-fret-contradicts-pitch"));
}

std::string text_of(const std::string& file, std::string_view rule) {
  for (const auto& finding : check_file(file).findings) {
    if (finding.rule == rule) return finding.text;
  }
  return {};
}

TEST(CheckFile, WordsForWhatIsPrinted) {
  const auto printed = [](const std::string& type) {
    return text_of(changed(handout, {{"<voice>1</voice><type>quarter</type>", "<voice>1</voice>" + type}}),
                   "time-type-contradicts-duration");
  };
  EXPECT_EQ(printed("<type>eighth</type>"), "an eighth note is printed, but it lasts a quarter note");
  EXPECT_EQ(printed("<type>eighth</type><dot/>"),
            "a dotted eighth note is printed, but it lasts a quarter note");
  EXPECT_EQ(printed("<type>half</type>"), "a half note is printed, but it lasts a quarter note");
}

TEST(CheckFile, WordsForWhatAMeasureHolds) {
  const std::string three = changed(handout, {{"<beats>4</beats>", "<beats>3</beats>"}});
  EXPECT_EQ(text_of(three, "time-measure-too-long"), "the measure holds 4 of 3 quarter notes");
}

// Pitches are named as they are written, where a teacher looks for them.
TEST(CheckFile, APitchIsNamedAsItIsWritten) {
  std::string text =
      changed(handout, {{"</staff-details>",
                         "</staff-details><transpose><diatonic>0</diatonic><chromatic>0</chromatic>"
                         "<octave-change>-1</octave-change></transpose>"}});
  for (const char octave : {'4', '3'}) {
    const std::string was = std::string("</step><octave>") + octave;
    for (std::size_t at = text.find(was); at != std::string::npos; at = text.find(was, at + 1))
      ++text[at + was.size() - 1];
  }
  text = changed(text, {{"<alter>1</alter><octave>3", "<alter>1</alter><octave>4"},
                        {"<string>4</string><fret>4</fret>", "<string>4</string><fret>5</fret>"}});
  EXPECT_EQ(text_of(text, "tab-fret-contradicts-pitch"),
            "fret 5 is G4, and the note is F#4; fret 4 would be F#4");
}

// Where the string has no such fret, the place that has it is named.
TEST(CheckFile, AnotherPlaceIsProposed) {
  const std::string text =
      changed(handout, {{"<string>4</string><fret>2</fret>", "<string>3</string><fret>2</fret>"}});
  EXPECT_EQ(text_of(text, "tab-fret-contradicts-pitch"),
            "fret 2 is A3, and the note is E3; its pitch is fret 2 of string 4");
}

// One wrong octave of a string is one mistake, whatever is played on it.
TEST(CheckFile, AStringTunedAnOctaveOffIsOneError) {
  const std::string fifth = "<tuning-step>G</tuning-step><tuning-octave>";
  std::string text = changed(handout, {{fifth + "4", fifth + "3"}});
  const std::size_t n = text.find("<note><!--n-->");
  const std::string open_fifth =
      changed(text.substr(text.find("<note><!--m-->"), n - text.find("<note><!--m-->")),
              {{"<slur type=\"stop\"/>", ""}, {"<!--m-->", ""}});
  for (int i = 0; i < 2; ++i) text.insert(text.find("<note><!--n-->"), open_fifth);
  EXPECT_EQ(
      text_of(text, "tab-string-off"),
      "all 4 notes of the string are an octave above what its tuning gives: it is tuned to G3, and G4 would "
      "give them");
  const Checked checked = check_file(text);
  EXPECT_EQ(checked.count(Severity::error), 1U);
  EXPECT_FALSE(has(checked, "reading-repaired"));
}

// Frets that all stand on the fifth string and are counted from the long strings' nut are right as they are.
TEST(CheckFile, SeventhFretsOfTheFifthStringAreNotOff) {
  std::string text =
      changed(handout, {{"<slur type=\"start\"/>", ""},
                        {"<slur type=\"stop\"/>", ""},
                        {"<!--m--><pitch><step>G</step>", "<!--m--><pitch><step>A</step>"},
                        {"<string>5</string><fret>0</fret>", "<string>5</string><fret>7</fret>"}});
  const std::size_t m = text.find("<note><!--m-->");
  text.insert(m, text.substr(m, text.find("<note><!--n-->") - m));
  EXPECT_FALSE(has(check_file(text), "tab-string-off"));
  EXPECT_FALSE(has(check_file(text), "tab-fret-contradicts-pitch"));
}

TEST(CheckFile, MoreNotesThanStringsAreCounted) {
  std::string notes;
  for (const char* pitch : {"<step>E</step><octave>4", "<step>C</step><octave>4", "<step>A</step><octave>4",
                            "<step>B</step><octave>4", "<step>F</step><octave>3"}) {
    notes += "<note><chord/><pitch>" + std::string(pitch) +
             "</octave></pitch><duration>12</duration><voice>1</voice><type>half</type></note>\n";
  }
  const std::string text =
      changed(handout, {{"<barline location=\"right\">", notes + "<barline location=\"right\">"}});
  EXPECT_EQ(text_of(text, "hands-unplayable"),
            "7 notes are struck at once, and a banjo has five strings: leave out 2 or more");
}

// Of two ways to count in one measure the beat is said.
TEST(CheckFile, WhereFretsAreCountedOtherwise) {
  const Change own{"<string>5</string><fret>7</fret>", "<string>5</string><fret>2</fret>"};
  const Change again{"<!--m--><pitch><step>G</step><octave>4</octave>",
                     "<!--m--><pitch><step>A</step><octave>4</octave>"};
  const Change again_fret{"<string>5</string><fret>0</fret>", "<string>5</string><fret>7</fret>"};
  EXPECT_EQ(
      text_of(changed(handout, {own, again, again_fret}), "tab-fifth-numbering-mixed"),
      "fret 2 is counted from the fifth string's own nut here, and otherwise at beat 2 of this measure");
  const Change elsewhere{
      "<string>1</string><fret>0</fret><pluck>M</pluck></technical></notations></note>\n</measure>",
      "<string>5</string><fret>7</fret><pluck>M</pluck></technical></notations></note>\n</measure>"};
  const Change pitch{"<!--g--><pitch><step>D</step>", "<!--g--><pitch><step>A</step>"};
  EXPECT_EQ(text_of(changed(handout, {own, elsewhere, pitch}), "tab-fifth-numbering-mixed"),
            "fret 2 is counted from the fifth string's own nut here, and otherwise in measure 2");
}

TEST(CheckFile, FindingsHaveABound) {
  std::string many = handout;
  for (std::size_t at = many.find("<pluck>"); at != std::string::npos; at = many.find("<pluck>", at + 8))
    many.replace(at + 7, 1, "?");
  CheckOptions options;
  options.max_findings = 3;
  const Checked checked = check_file(many, options);
  EXPECT_EQ(checked.findings.size(), 3U);
  EXPECT_GT(checked.left_out, 0U);
}

TEST(CheckFile, TimewiseIsCheckedAlike) {
  const std::string timewise =
      R"(<score-timewise version="4.0"><part-list><score-part id="P1"><part-name>Banjo</part-name></score-part></part-list>
<measure number="1"><part id="P1"><attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>
<note><pitch><step>G</step><octave>3</octave></pitch><duration>4</duration><type>whole</type></note></part></measure>
<measure number="2"><part id="P1">
<note><pitch><step>G</step><octave>3</octave></pitch><duration>4</duration><type>half</type></note></part></measure></score-timewise>)";
  const Checked checked = check_file(timewise);
  ASSERT_FALSE(checked.findings.empty());
  EXPECT_EQ(checked.findings[0].rule, "time-type-contradicts-duration");
  EXPECT_EQ(checked.findings[0].place.line, 5);
  EXPECT_EQ(checked.findings[0].place.measure, "2");
}

// ---- mend ----

struct MendCase {
  std::string rule;
  std::string broken;
  std::string fixed;
};

// The whole result is compared: nothing else may change.
void fixes(const MendCase& one) {
  ASSERT_TRUE(has(check_file(one.broken), one.rule)) << one.rule;
  const FixResult fixed = fix(one.broken);
  EXPECT_EQ(fixed.bytes, one.fixed) << one.rule;
  ASSERT_FALSE(fixed.fixes.empty()) << one.rule;
  for (const auto& done : fixed.fixes) EXPECT_EQ(done.rule, one.rule);
  EXPECT_FALSE(has(check_file(fixed.bytes), one.rule)) << one.rule;
  EXPECT_TRUE(fifthpeg::find_rule(one.rule)->fixable) << one.rule;
  // Where the rule is not asked for, nothing is done.
  CheckOptions options;
  options.skip = {one.rule};
  EXPECT_EQ(fix(one.broken, options).bytes, one.broken) << one.rule;
}

std::vector<MendCase> mend_cases() {
  std::vector<MendCase> all;
  const auto with = [&](const std::string& rule, const std::vector<Change>& bad,
                        const std::vector<Change>& good) {
    all.push_back({rule, changed(handout, bad), changed(handout, good)});
  };
  with("time-no-divisions", {{"<divisions>6</divisions><key>", "<key>"}}, {});
  const std::size_t a = handout.find("<note><!--a-->");
  const Change pickup{handout.substr(a, handout.find("<note><!--c-->") - a), ""};
  with("time-pickup-unmarked", {pickup},
       {pickup, {"<measure number=\"1\">", "<measure number=\"1\" implicit=\"yes\">"}});
  with("time-pickup-unmarked", {pickup, {"<measure number=\"1\">", "<measure implicit=\"no\" number=\"1\">"}},
       {pickup, {"<measure number=\"1\">", "<measure implicit=\"yes\" number=\"1\">"}});
  with("time-no-type", {{"<voice>1</voice><type>quarter</type>", "<voice>1</voice>"}}, {});
  with("pairs-tie-not-shown", {{"<tied type=\"stop\"/>", ""}}, {});
  // A note that is struck is heard as before: the end that leads nowhere goes.
  const std::vector<Change> no_stop{{"<tie type=\"stop\"/>", ""}, {"<tied type=\"stop\"/>", ""}};
  const std::vector<Change> no_start{{"<tie type=\"start\"/>", ""}, {"<tied type=\"start\"/>", ""}};
  const std::string untied = changed(changed(handout, no_stop), no_start);
  all.push_back({"pairs-tie", changed(handout, no_stop), untied});
  all.push_back({"pairs-tie", changed(handout, no_start), untied});
  with("pairs-tuplet", {{"<tuplet type=\"stop\"/>", ""}},
       {{"<tuplet type=\"stop\"/>", "<tuplet type=\"stop\" number=\"1\"/>"}});
  const Change own{"<string>5</string><fret>7</fret>", "<string>5</string><fret>2</fret>"};
  with("tab-fifth-own-nut", {own}, {});
  const std::string f5 = "<string>5</string><fret>";
  with("tab-fifth-own-nut", {{f5 + "7<", f5 + "<!-- 5 -->2<"}}, {{f5 + "7<", f5 + "<!-- 5 -->7<"}});
  with("tab-fifth-own-nut", {{f5 + "7<", f5 + "<![CDATA[2]]><?x y?><"}}, {{f5 + "7<", f5 + "7<?x y?><"}});
  const Change again{"<!--m--><pitch><step>G</step><octave>4</octave>",
                     "<!--m--><pitch><step>A</step><octave>4</octave>"};
  const Change again_fret{"<string>5</string><fret>0</fret>", "<string>5</string><fret>7</fret>"};
  all.push_back({"tab-fifth-numbering-mixed", changed(handout, {own, again, again_fret}),
                 changed(handout, {again, again_fret})});
  const std::size_t tuning = handout.find("<staff-tuning line=\"1\">");
  const std::string strings = handout.substr(tuning, handout.find("</staff-details>") - tuning);
  with("tab-no-tuning", {{strings, ""}}, {});
  with("tab-no-tuning", {{"<staff-details><staff-lines>5</staff-lines>" + strings + "</staff-details>", ""}},
       {});
  all.push_back({"midi-no-end-of-track", midi(midi_head + midi_notes), clean_midi});
  return all;
}

TEST(Fix, DoesOneThingAndNothingElse) {
  for (const MendCase& one : mend_cases()) fixes(one);
}

TEST(Fix, EveryRuleThatClaimsIt) {
  const auto all = mend_cases();
  for (const fifthpeg::Rule& rule : fifthpeg::rules()) {
    if (!rule.fixable) continue;
    EXPECT_TRUE(std::any_of(all.begin(), all.end(), [&](const MendCase& one) {
      return one.rule == rule.slug;
    })) << rule.slug;
  }
}

TEST(Fix, LeavesWhatHasMoreThanOneAnswer) {
  // A slur that ends somewhere; divisions that the printed values contradict; a tuning of four known strings.
  const std::string slur = changed(handout, {{"<slur type=\"stop\"/>", ""}});
  EXPECT_EQ(fix(slur).bytes, slur);
  const std::string divisions = changed(
      handout, {{"<divisions>6</divisions>", ""}, {"<duration>6</duration>", "<duration>5</duration>"}});
  EXPECT_EQ(fix(divisions).bytes, divisions);
  EXPECT_EQ(fix(handout).bytes, handout);
  EXPECT_EQ(fix(clean_midi).bytes, clean_midi);
}

TEST(Fix, KeepsAByteOrderMarkAndRefusesWhatItCannotChange) {
  const std::string marked = "\xEF\xBB\xBF" + changed(handout, {{"<tied type=\"stop\"/>", ""}});
  EXPECT_EQ(fix(marked).bytes, "\xEF\xBB\xBF" + handout);
  EXPECT_THROW(fix(changed(handout, {{"UTF-8", "ISO-8859-1"}, {"Lick", "L\xE9"}})), fifthpeg::ReadError);
  EXPECT_THROW(fix(handout.substr(0, handout.size() / 2)), fifthpeg::ReadError);
  EXPECT_THROW(fix(clean_midi.substr(0, clean_midi.size() - 6)), fifthpeg::ReadError);
  EXPECT_THROW(fix("nothing"), fifthpeg::ReadError);
}

}  // namespace
