// Time: divisions, voices, ties, tuplets, grace notes, measures, repeats, meters and keys.
#include <algorithm>
#include <gtest/gtest.h>

#include "fifthpeg/write.hpp"
#include "formats/musicxml/reader/support.hpp"

namespace fifthpeg {
namespace {

using namespace testing;

const std::string chord = "<chord/>";
std::string voice(int number) {
  return "<voice>" + std::to_string(number) + "</voice>";
}
std::string backup(int duration) {
  return "<backup><duration>" + std::to_string(duration) + "</duration></backup>";
}
std::string forward(int duration) {
  return "<forward><duration>" + std::to_string(duration) + "</duration></forward>";
}
std::string modified(int actual, int normal, std::string_view type = "") {
  return (type.empty() ? std::string() : "<type>" + std::string(type) + "</type>") +
         "<time-modification><actual-notes>" + std::to_string(actual) + "</actual-notes><normal-notes>" +
         std::to_string(normal) + "</normal-notes></time-modification>";
}

TEST(MusicXmlTime, Melody) {
  const Reading reading =
      read_sound(one_measure(note("D4", 2) + note("E4", 1) + note("rest", 1) + note("G4", 4)));
  EXPECT_EQ(line_of(reading), "D4 1/4, E4 1/8, - 1/8, G4 1/2");
  EXPECT_TRUE(reading.report.empty()) << all_told(reading.report);
}

TEST(MusicXmlTime, DivisionsThatChangeInsideAMeasure) {
  const Reading reading =
      read_sound(one_measure(note("D4", 4) + "<attributes><divisions>24</divisions></attributes>" +
                             note("E4", 24) + note("G4", 24)));
  EXPECT_EQ(line_of(reading), "D4 1/2, E4 1/4, G4 1/4");
}

TEST(MusicXmlTime, DivisionsMissingAreFoundFromAValue) {
  const std::string quarter = note("D4", 6, "", "", "<type>quarter</type>");
  const Reading reading = read_sound(part(measure(quarter + quarter + quarter + quarter, "1", "")));
  EXPECT_EQ(line_of(reading), "D4 1/4, D4 1/4, D4 1/4, D4 1/4");
  EXPECT_EQ(told(reading.report, "musicxml-divisions-missing", EntryKind::repair), 1U);
}

TEST(MusicXmlTime, DurationRulesOverDots) {  // dots missing in the tab of some programs
  const Reading reading = read_sound(one_measure(note("D4", 3, "", "", "<type>quarter</type>") +
                                                 note("E4", 1, "", "", "<type>eighth</type>") +
                                                 note("G4", 4, "", "", "<type>half</type>")));
  EXPECT_EQ(line_of(reading), "D4 3/8, E4 1/8, G4 1/2");
  EXPECT_EQ(told(reading.report, "musicxml-printed-value", EntryKind::loss), 1U);
}

TEST(MusicXmlTime, DurationMissingIsTakenFromTheValue) {
  const std::string odd = "<note><pitch><step>D</step><octave>4</octave></pitch><type>half</type></note>";
  const Reading reading = read_sound(one_measure(odd + note("E4", 4)));
  EXPECT_EQ(line_of(reading), "D4 1/2, E4 1/2");
  EXPECT_EQ(told(reading.report, "musicxml-duration-missing", EntryKind::repair), 1U);
}

TEST(MusicXmlTime, Chords) {
  const Reading reading =
      read_sound(one_measure(note("G3", 8) + note("D4", 8, "", chord) + note("B3", 8, "", chord)));
  EXPECT_EQ(line_of(reading), "D4+B3+G3 1");
  const Reading alone = read_sound(one_measure(note("G3", 8, "", chord)));
  EXPECT_EQ(line_of(alone), "G3 1");
  EXPECT_EQ(told(alone.report, "musicxml-chord-alone"), 1U);
}

TEST(MusicXmlTime, VoicesBecomeOneLine) {
  const Reading reading =
      read_sound(one_measure(note("G4", 2, "", "", voice(1)) + note("A4", 2, "", "", voice(1)) +
                             note("B4", 4, "", "", voice(1)) + backup(8) + note("G3", 8, "", "", voice(2))));
  EXPECT_EQ(line_of(reading), "G4+G3* 1/4, A4 1/4, B4 1/2");
  EXPECT_EQ(told(reading.report, "musicxml-voices", EntryKind::decision), 1U);
}

TEST(MusicXmlTime, TieInAnotherVoiceRingsThroughStrokes) {
  // The half notes are tied over two strokes of the upper voice: not struck again.
  const Reading reading =
      read_sound(one_measure(note("G4", 2, "", "", voice(1)) + note("A4", 2, "", "", voice(1)) +
                             note("B4", 2, "", "", voice(1)) + note("A4", 2, "", "", voice(1)) + backup(8) +
                             note("G3", 4, "", "", "<tie type=\"start\"/>" + voice(2)) +
                             note("G3", 4, "", "", "<tie type=\"stop\"/>" + voice(2))));
  EXPECT_EQ(line_of(reading), "G4+G3* 1/4, A4 1/4, B4 1/4, A4 1/4");
}

TEST(MusicXmlTime, BackupBeforeTheStartAndForward) {
  const Reading reading = read_sound(one_measure(note("D4", 4) + backup(6) + forward(4) + note("E4", 4)));
  EXPECT_EQ(line_of(reading), "D4 1/2, E4 1/2");
  EXPECT_EQ(told(reading.report, "musicxml-backup", EntryKind::repair), 1U);
}

TEST(MusicXmlTime, TiesJoinInsideAMeasureAndOverTheBarline) {
  const std::string start = "<tie type=\"start\"/>";
  const std::string stop = "<tie type=\"stop\"/>";
  const Reading reading = read_sound(part(
      measure(note("D4", 4, "", "", start) + note("D4", 1, "", "", stop) + note("E4", 3, "", "", start)) +
      measure(note("E4", 8, "", "", stop), "2", "")));
  EXPECT_EQ(line_of(reading), "D4 5/8, E4~ 3/8");
  EXPECT_EQ(line_of(reading, 1), "~E4 1");
  // `tied` is the notation of the same.
  const Reading drawn = read_sound(
      one_measure(note("D4", 4, "<tied type=\"start\"/>") + note("D4", 4, "<tied type=\"stop\"/>")));
  EXPECT_EQ(line_of(drawn), "D4 1");
}

TEST(MusicXmlTime, TieWithoutItsOtherEnd) {
  const Reading reading = read_sound(one_measure(note("D4", 4, "", "", "<tie type=\"start\"/>") +
                                                 note("E4", 4, "", "", "<tie type=\"stop\"/>")));
  EXPECT_EQ(line_of(reading), "D4 1/2, E4 1/2");
  EXPECT_GE(told(reading.report, "musicxml-tie-alone", EntryKind::loss), 1U);
}

TEST(MusicXmlTime, TieThatNeverEnds) {
  const Reading reading =
      read_sound(one_measure(note("D4", 4) + note("D4", 2, "", "", "<tie type=\"start\"/>") + note("E4", 2)));
  EXPECT_EQ(line_of(reading), "D4 1/2, D4 1/4, E4 1/4");
  const auto& entries = reading.report.entries();
  const auto lost = std::find_if(entries.begin(), entries.end(),
                                 [](const Entry& one) { return one.slug == "musicxml-tie-alone"; });
  ASSERT_NE(lost, entries.end());
  EXPECT_EQ(lost->kind, EntryKind::loss);
  EXPECT_EQ(lost->count, 1U);
  EXPECT_EQ(lost->places.front().beat, Fraction(3));
}

TEST(MusicXmlTime, TupletsWithBrackets) {
  const std::string attributes =
      "<attributes><divisions>6</divisions><key><fifths>0</fifths></key>"
      "<time><beats>2</beats><beat-type>4</beat-type></time></attributes>";
  const std::string middle = modified(3, 2);
  const Reading reading = read_sound(
      part(measure(note("D4", 2, "<tuplet type=\"start\"/>", "", middle) + note("E4", 2, "", "", middle) +
                       note("G4", 2, "<tuplet type=\"stop\"/>", "", middle) + note("A4", 6),
                   "1", attributes)));
  EXPECT_EQ(line_of(reading), "D4 1/12, E4 1/12, G4 1/12, A4 1/4");
  const auto& line = strokes(reading);
  EXPECT_EQ(line[0].tuplets, (std::vector<Tuplet>{{3, 2, true, false}}));
  EXPECT_EQ(line[1].tuplets, (std::vector<Tuplet>{{3, 2, false, false}}));
  EXPECT_EQ(line[2].tuplets, (std::vector<Tuplet>{{3, 2, false, true}}));
  EXPECT_TRUE(line[3].tuplets.empty());
}

TEST(MusicXmlTime, TupletsWithoutBracketsAreGrouped) {
  const std::string attributes =
      "<attributes><divisions>6</divisions><key><fifths>0</fifths></key>"
      "<time><beats>4</beats><beat-type>4</beat-type></time></attributes>";
  const std::string eighth = modified(3, 2, "eighth");
  const std::string quarter = modified(3, 2, "quarter");
  const Reading reading = read_sound(part(
      measure(note("D4", 2, "", "", eighth) + note("E4", 2, "", "", eighth) + note("G4", 2, "", "", eighth) +
                  note("D4", 4, "", "", quarter) + note("E4", 2, "", "", eighth) + note("A4", 12),
              "1", attributes)));
  const auto& line = strokes(reading);
  ASSERT_EQ(line.size(), 6U);
  EXPECT_TRUE(line[0].tuplets[0].starts);
  EXPECT_TRUE(line[2].tuplets[0].stops);
  EXPECT_TRUE(line[3].tuplets[0].starts);
  EXPECT_TRUE(line[4].tuplets[0].stops);
  EXPECT_TRUE(line[5].tuplets.empty());
}

TEST(MusicXmlTime, NestedTuplets) {
  // Three in the time of two quarters; the middle one divided again into three eighths' time of two.
  const std::string attributes =
      "<attributes><divisions>9</divisions><key><fifths>0</fifths></key>"
      "<time><beats>2</beats><beat-type>4</beat-type></time></attributes>";
  const Reading reading =
      read_sound(part(measure(note("D4", 6, "<tuplet type=\"start\" number=\"1\"/>", "", modified(3, 2)) +
                                  note("E4", 2, "<tuplet type=\"start\" number=\"2\"/>", "", modified(9, 4)) +
                                  note("F4", 2, "", "", modified(9, 4)) +
                                  note("G4", 2, "<tuplet type=\"stop\" number=\"2\"/>", "", modified(9, 4)) +
                                  note("A4", 6, "<tuplet type=\"stop\" number=\"1\"/>", "", modified(3, 2)),
                              "1", attributes)));
  const auto& line = strokes(reading);
  ASSERT_EQ(line.size(), 5U);
  EXPECT_EQ(line[0].tuplets, (std::vector<Tuplet>{{3, 2, true, false}}));
  EXPECT_EQ(line[1].tuplets, (std::vector<Tuplet>{{3, 2, false, false}, {3, 2, true, false}}));
  EXPECT_EQ(line[3].tuplets, (std::vector<Tuplet>{{3, 2, false, false}, {3, 2, false, true}}));
  EXPECT_EQ(line[4].tuplets, (std::vector<Tuplet>{{3, 2, false, true}}));
}

TEST(MusicXmlTime, TupletInOneVoiceUnderALongNoteInAnother) {
  const std::string attributes =
      "<attributes><divisions>6</divisions><key><fifths>0</fifths></key>"
      "<time><beats>2</beats><beat-type>4</beat-type></time></attributes>";
  const std::string third = modified(3, 2);
  const Reading reading = read_sound(
      part(measure(note("G3", 12, "", "", voice(1)) + backup(12) + note("rest", 6, "", "", voice(2)) +
                       note("rest", 2, "<tuplet type=\"start\"/>", "", voice(2) + third) +
                       note("D4", 2, "", "", voice(2) + third) +
                       note("E4", 2, "<tuplet type=\"stop\"/>", "", voice(2) + third),
                   "1", attributes)));
  // The long note is divided where the triplet begins, and rings on.
  EXPECT_EQ(line_of(reading), "G3~ 1/4, ~G3* 1/12, D4 1/12, E4 1/12");
  const auto& line = strokes(reading);
  EXPECT_TRUE(line[0].tuplets.empty());
  EXPECT_EQ(line[1].tuplets, (std::vector<Tuplet>{{3, 2, true, false}}));
  EXPECT_EQ(line[3].tuplets, (std::vector<Tuplet>{{3, 2, false, true}}));
}

TEST(MusicXmlTime, GraceNotes) {
  const std::string grace =
      "<note><grace slash=\"yes\"/><pitch><step>A</step><octave>3</octave></pitch><type>16th</type></note>";
  const std::string plain =
      "<note><grace/><pitch><step>C</step><octave>4</octave></pitch><type>eighth</type></note>";
  const Reading reading = read_sound(one_measure(grace + plain + note("B3", 4) + note("D4", 4) + plain));
  EXPECT_EQ(line_of(reading), "(A3), (C4), B3 1/2, D4 1/2, (C4)");
  EXPECT_EQ(strokes(reading)[0].grace, Grace::slashed);
  EXPECT_EQ(strokes(reading)[0].duration, Fraction(1, 16));
  EXPECT_EQ(strokes(reading)[1].grace, Grace::plain);
}

TEST(MusicXmlTime, CueNotesAreLeftOutAndTold) {
  const Reading reading = read_sound(one_measure(note("D4", 4, "", "<cue/>") + note("E4", 4)));
  EXPECT_EQ(line_of(reading), "- 1/2, E4 1/2");
  EXPECT_EQ(told(reading.report, "musicxml-cue", EntryKind::loss), 1U);
}

TEST(MusicXmlMeasures, PickupAndIrregular) {
  const Reading reading = read_sound(
      part("<measure number=\"0\" implicit=\"yes\">" + std::string(usual_attributes) + note("D4", 2) +
           "</measure>" + measure(note("G4", 8), "1", "") + measure(note("G4", 6), "2", "") +
           measure(note("G4", 10), "3", "") + measure(note("G4", 8), "4", "")));
  EXPECT_TRUE(reading.score.measures[0].implicit);
  EXPECT_EQ(reading.score.measures[0].length, Fraction(1, 4));
  EXPECT_EQ(reading.score.measures[2].length, Fraction(3, 4));
  EXPECT_EQ(reading.score.measures[3].length, Fraction(5, 4));
  EXPECT_EQ(told(reading.report, "musicxml-measure-short", EntryKind::decision), 1U);
  EXPECT_EQ(told(reading.report, "musicxml-measure-long", EntryKind::repair), 1U);
}

TEST(MusicXmlMeasures, EmptyMeasuresAndWholeRests) {
  const std::string rest = "<note><rest measure=\"yes\"/><duration>8</duration></note>";
  const std::string three =
      "<attributes><divisions>2</divisions><key><fifths>0</fifths></key>"
      "<time><beats>3</beats><beat-type>4</beat-type></time></attributes>";
  const Reading reading =
      read_sound(part(measure("", "1", three) + measure(rest, "2", "") + measure(note("G4", 6), "3", "")));
  EXPECT_EQ(line_of(reading, 0), "- 3/4");
  EXPECT_EQ(line_of(reading, 1), "- 3/4");
  EXPECT_EQ(told(reading.report, "musicxml-measure-empty", EntryKind::repair), 1U);
  EXPECT_EQ(told(reading.report, "musicxml-measure-rest", EntryKind::repair), 1U);
}

TEST(MusicXmlMeasures, RepeatsAndEndings) {
  const std::string forward_sign =
      "<barline location=\"left\"><bar-style>heavy-light</bar-style><repeat "
      "direction=\"forward\"/></barline>";
  const auto start = [](const std::string& number) {
    return "<barline location=\"left\"><ending number=\"" + number + "\" type=\"start\"/></barline>";
  };
  const auto stop = [](const std::string& number, const std::string& type, const std::string& repeat) {
    return "<barline location=\"right\"><bar-style>light-heavy</bar-style><ending number=\"" + number +
           "\" type=\"" + type + "\"/>" + repeat + "</barline>";
  };
  const std::string back = "<repeat direction=\"backward\" times=\"3\"/>";
  const Reading reading = read_sound(
      part(measure(forward_sign + note("D4", 8)) + measure(start("1, 2") + note("E4", 8), "2", "") +
           measure(note("E4", 8), "3", "") + measure(note("E4", 8) + stop("1, 2", "stop", back), "4", "") +
           measure(start("3") + note("G4", 8) + stop("3", "discontinue", ""), "5", "")));
  const auto& measures = reading.score.measures;
  EXPECT_TRUE(measures[0].repeat_starts);
  EXPECT_EQ(measures[1].ending, (Ending{{1, 2}, true, Ending::Stop::none}));
  EXPECT_EQ(measures[2].ending, (Ending{{1, 2}, false, Ending::Stop::none}));
  EXPECT_EQ(measures[3].ending, (Ending{{1, 2}, false, Ending::Stop::closed}));
  EXPECT_EQ(measures[3].repeat_times, 3);
  EXPECT_EQ(measures[3].right_bar, BarStyle::regular);
  EXPECT_EQ(measures[4].ending, (Ending{{3}, true, Ending::Stop::open}));
  EXPECT_EQ(measures[4].right_bar, BarStyle::light_heavy);
  EXPECT_EQ(playing_order(reading.score).measures, (std::vector<std::size_t>{0, 1, 2, 3, 0, 1, 2, 3, 0, 4}));
}

TEST(MusicXmlMeasures, RepeatSignsOnTheOtherSide) {
  const Reading reading = read_sound(
      part(measure(note("D4", 8) + "<barline location=\"right\"><repeat direction=\"forward\"/></barline>") +
           measure(note("E4", 8), "2", "") +
           measure("<barline location=\"left\"><repeat direction=\"backward\"/></barline>" + note("G4", 8),
                   "3", "")));
  EXPECT_TRUE(reading.score.measures[1].repeat_starts);
  EXPECT_EQ(reading.score.measures[1].repeat_times, 2);
  const Reading inside = read_sound(
      one_measure(note("D4", 4) + "<barline location=\"middle\"><repeat direction=\"backward\"/></barline>" +
                  note("E4", 4)));
  EXPECT_EQ(told(inside.report, "musicxml-repeat-inside", EntryKind::loss), 1U);
}

TEST(MusicXmlMeasures, Meters) {
  const auto meter = [](std::string_view inside, std::string_view attributes = "") {
    return read_sound(
        part(measure(note("D4", 8), "1",
                     "<attributes><divisions>2</divisions><key><fifths>0</fifths></key><time" +
                         std::string(attributes) + ">" + std::string(inside) + "</time></attributes>")));
  };
  const auto pair = [](std::string_view beats, std::string_view type) {
    return "<beats>" + std::string(beats) + "</beats><beat-type>" + std::string(type) + "</beat-type>";
  };
  EXPECT_EQ(meter(pair("4", "4"), " symbol=\"common\"").score.measures[0].meter.symbol,
            Meter::Symbol::common);
  EXPECT_EQ(meter(pair("2", "2"), " symbol=\"cut\"").score.measures[0].meter,
            (Meter{{2}, 2, Meter::Symbol::cut}));
  EXPECT_TRUE(meter(pair("6", "8")).score.measures[0].meter.is_compound());
  EXPECT_EQ(to_string(meter(pair("3+2", "8")).score.measures[0].meter), "3+2/8");
  const Reading mixed = meter(pair("3", "8") + pair("1", "4"));
  EXPECT_EQ(to_string(mixed.score.measures[0].meter), "3+2/8");
  EXPECT_EQ(told(mixed.report, "musicxml-meter-mixed"), 1U);
  EXPECT_EQ(told(meter("<senza-misura/>").report, "musicxml-senza-misura", EntryKind::loss), 1U);
  EXPECT_EQ(told(meter(pair("6", "8") + "<interchangeable>" + pair("3", "4") + "</interchangeable>").report,
                 "musicxml-element-interchangeable", EntryKind::loss),
            1U);
  EXPECT_EQ(told(meter(pair("0", "4")).report, "musicxml-meter", EntryKind::loss), 1U);
  EXPECT_EQ(told(meter(pair("x", "4")).report, "musicxml-meter", EntryKind::loss), 1U);
}

TEST(MusicXmlMeasures, Keys) {
  const auto key = [](std::string_view inside) {
    return read_sound(part(
        measure(note("D4", 8), "1",
                "<attributes><divisions>2</divisions><key>" + std::string(inside) + "</key></attributes>")));
  };
  EXPECT_EQ(key("<fifths>-3</fifths><mode>dorian</mode>").score.measures[0].key, (Key{-3, Mode::dorian}));
  EXPECT_EQ(key("<cancel>2</cancel><fifths>1</fifths>").score.measures[0].key, (Key{1, Mode::none}));
  EXPECT_EQ(key("<fifths>9</fifths>").score.measures[0].key.fifths, -3);
  EXPECT_EQ(told(key("<key-step>F</key-step><key-alter>1</key-alter>").report, "musicxml-key-non-traditional",
                 EntryKind::loss),
            1U);
  const Reading change = read_sound(
      one_measure(note("D4", 4) + "<attributes><key><fifths>2</fifths></key></attributes>" + note("E4", 4)));
  ASSERT_EQ(change.score.measures[0].key_changes.size(), 1U);
  EXPECT_EQ(change.score.measures[0].key_changes[0], (KeyChange{Fraction(1, 2), {2, Mode::none}}));
}

TEST(MusicXmlMeasures, KeyMissingIsEstimated) {
  const std::string only_time =
      "<attributes><divisions>2</divisions><time><beats>4</beats><beat-type>4</beat-type></time></"
      "attributes>";
  const Reading reading = read_sound(part(
      measure(note("G4", 3) + note("A4", 1) + note("B4", 1) + note("D5", 1) + note("F#4", 1) + note("G4", 1),
              "1", only_time) +
      measure(note("G4", 4) + note("D5", 2) + note("B4", 2), "2", "")));
  EXPECT_TRUE(reading.score.key_estimated);
  EXPECT_EQ(to_string(reading.score.measures[0].key), "G major");
  EXPECT_EQ(told(reading.report, "musicxml-key-estimated", EntryKind::decision), 1U);
}

// `pitch` is the written pitch, `transpose` leads to the sounding one, and no clef changes either
// (MusicXML 4.0, W3C Community Group Report, June 2021: pitch, transpose, clef-octave-change).
TEST(MusicXmlTranspose, WrittenToSounding) {
  const auto with = [](std::string_view attributes, std::string_view pitch = "D5") {
    return read_sound(part(measure(note(pitch, 8), "1",
                                   "<attributes><divisions>2</divisions><key><fifths>2</fifths></key>" +
                                       std::string(attributes) + "</attributes>")));
  };
  const Reading octave = with(
      "<transpose><diatonic>0</diatonic><chromatic>0</chromatic><octave-change>-1</octave-change></"
      "transpose>");
  EXPECT_EQ(line_of(octave), "D4 1");
  EXPECT_EQ(octave.score.measures[0].key.fifths, 2);
  EXPECT_EQ(line_of(with("<transpose><chromatic>-12</chromatic></transpose>")), "D4 1");
  // A clarinet in B flat: written D major sounds C major.
  const Reading clarinet =
      with("<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>", "F#5");
  EXPECT_EQ(line_of(clarinet), "E5 1");
  EXPECT_EQ(clarinet.score.measures[0].key.fifths, 0);
  const Reading unspelled = with("<transpose><chromatic>-2</chromatic></transpose>", "F#5");
  EXPECT_EQ(line_of(unspelled), "E5 1");
  const Reading doubled =
      with("<transpose><chromatic>0</chromatic><octave-change>-1</octave-change><double/></transpose>");
  EXPECT_EQ(told(doubled.report, "musicxml-element-double", EntryKind::loss), 1U);
  EXPECT_EQ(
      line_of(with("<clef><sign>G</sign><line>2</line><clef-octave-change>-1</clef-octave-change></clef>")),
      "D5 1");
}

TEST(MusicXmlTranspose, MicrotonesAreRoundedAndTold) {
  const Reading reading =
      read_sound(one_measure("<note><pitch><step>B</step><alter>-0.5</alter><octave>3</octave></"
                             "pitch><duration>8</duration></note>"));
  EXPECT_EQ(told(reading.report, "musicxml-microtone", EntryKind::loss), 1U);
}

TEST(MusicXmlTime, LongestAndFinest) {
  EXPECT_NE(refusal(one_measure(note("D4", 999999999))).what.find("longer"), std::string::npos);
  std::string fine;
  for (const int divisions : {999999937, 999999929, 999999893, 999999883}) {  // primes
    fine +=
        "<attributes><divisions>" + std::to_string(divisions) + "</divisions></attributes>" + note("D4", 1);
  }
  EXPECT_NE(refusal(one_measure(fine)).what.find("finely"), std::string::npos);
}

TEST(MusicXmlTime, ManyMeasuresQuickly) {
  std::string measures = measure(note("D4", 8));
  for (int i = 2; i <= 100'000; ++i) measures += measure(note("D4", 8), "2", "");
  const Reading reading = read_sound(part(measures));
  EXPECT_EQ(reading.score.measures.size(), 100'000U);
}

// One note of the file is one note of what is written, whatever the meter prefers; several that are tied are
// as the meter has them.
TEST(MusicXmlTime, AValueThatTheMeterWouldPart) {
  const auto unparted = [](const std::string& music) {
    const Reading reading = read_sound(one_measure(music));
    std::string marks;
    for (const Stroke& stroke : reading.score.measures[0].strokes) marks += stroke.unparted ? '1' : '0';
    StringSink out;
    write_musicxml(reading.score, {}, out);
    EXPECT_EQ(read_musicxml(out.str()).score, reading.score);
    return marks;
  };
  EXPECT_EQ(unparted(note("D4", 2) + note("E4", 6)), "01");
  EXPECT_EQ(unparted(note("D4", 2) + note("E4", 4) + note("G4", 2)), "010");
  EXPECT_EQ(unparted(note("D4", 2) + note("E4", 2) + note("G4", 4)), "000");  // as the meter has them
  const std::string starts = "<tied type=\"start\"/>";
  const std::string stops = "<tied type=\"stop\"/>";
  EXPECT_EQ(unparted(note("D4", 2) + note("E4", 2, starts, "", "<tie type=\"start\"/>") +
                     note("E4", 4, stops, "", "<tie type=\"stop\"/>")),
            "00");
}

// A staff or a voice of several: what the others have is not there, and the measures keep their length.
TEST(MusicXmlLines, AStaffOrAVoice) {
  const auto on_staff = [](int staff) { return "<staff>" + std::to_string(staff) + "</staff>"; };
  const std::string piano = one_measure(note("D4", 4, "", "", voice(1) + on_staff(1)) +
                                        note("E4", 4, "", "", voice(1) + on_staff(1)) + backup(8) +
                                        note("B3", 2, "", "", voice(2) + on_staff(1)) + backup(2) +
                                        note("G3", 8, "", "", voice(5) + on_staff(2)));
  const auto line = [&](std::optional<int> staff, const std::string& name) {
    ReadOptions options;
    options.staff = staff;
    options.voice = name;
    const Reading reading = read_musicxml(piano, options);
    EXPECT_TRUE(flaws(reading.score).empty());
    EXPECT_EQ(reading.inventory.staves, (std::vector<int>{1, 2}));
    EXPECT_EQ(reading.inventory.voices, (std::vector<std::string>{"1", "2", "5"}));
    EXPECT_EQ(reading.score.measures[0].length, Fraction(1));
    return line_of(reading);
  };
  EXPECT_EQ(line(2, ""), "G3 1");
  EXPECT_EQ(line({}, "1"), "D4 1/2, E4 1/2");
  EXPECT_EQ(line(1, "1"), "D4 1/2, E4 1/2");
  EXPECT_EQ(line({}, "2"), "B3 1/4, - 3/4");
  const auto refused = [&](std::optional<int> staff, const std::string& name) {
    try {
      line(staff, name);
    } catch (const UsageError& error) {
      return error.code() + ": " + error.what();
    }
    return std::string("not refused");
  };
  EXPECT_EQ(refused(3, ""),
            "no-such-staff: there are no notes on staff 3 of the part, which has them on staff 1 and 2");
  EXPECT_EQ(refused(2, "1"),
            "no-such-voice: there are no notes in voice 1 of the part, which has voices 1, 2 and 5");
}

}  // namespace
}  // namespace fifthpeg
