// Strings, frets, tunings, capos, copies on tab staves. The tuning and the counting of the fifth string's
// frets are common practice; staff-tuning, capo, string and fret are those of MusicXML 4.0, W3C Community
// Group Report, June 2021.
#include <gtest/gtest.h>

#include "formats/musicxml/reader/support.hpp"

namespace fifthpeg {
namespace {

using namespace testing;

std::string attributes_with(std::string_view more) {
  std::string text(usual_attributes);
  text.insert(text.size() - std::string_view("</attributes>").size(), more);
  return text;
}
std::string with_details(std::string_view more, std::string_view music) {
  return part(measure(music, "1", attributes_with(more)));
}
std::string tuning_lines(std::initializer_list<std::pair<char, int>> from_the_bottom) {
  std::string text =
      "<staff-details><staff-lines>" + std::to_string(from_the_bottom.size()) + "</staff-lines>";
  int line = 0;
  for (const auto& [step, octave] : from_the_bottom) {
    text += "<staff-tuning line=\"" + std::to_string(++line) + "\"><tuning-step>" + step +
            "</tuning-step><tuning-octave>" + std::to_string(octave) + "</tuning-octave></staff-tuning>";
  }
  return text + "</staff-details>";
}
const std::string guitar = tuning_lines({{'E', 2}, {'A', 2}, {'D', 3}, {'G', 3}, {'B', 3}, {'E', 4}});
const std::string octave_down =
    "<transpose><chromatic>0</chromatic><octave-change>-1</octave-change></transpose>";

Placement at(int string, int fret) {
  return {static_cast<std::int8_t>(string), static_cast<std::int8_t>(fret)};
}

TEST(MusicXmlStrings, TuningAndPlacements) {
  const Reading reading = read_sound(
      with_details(open_g_details(), placed("E3", 2, 4, 2) + placed("D4", 2, 1, 0) + placed("G4", 4, 5, 0)));
  EXPECT_EQ(reading.score.banjo, Banjo{});
  EXPECT_EQ(first_note(reading, 0).placement, at(4, 2));
  EXPECT_EQ(first_note(reading, 2).placement, at(5, 0));
  EXPECT_TRUE(reading.report.empty()) << all_told(reading.report);
}

TEST(MusicXmlStrings, OtherTuningAndCapo) {
  // Double C, gCGCD, with a capo at 2: every string sounds two half steps higher.
  const Reading reading = read_sound(with_details(
      tuning_lines({{'G', 4}, {'C', 3}, {'G', 3}, {'C', 4}, {'D', 4}})
          .replace(tuning_lines({{'G', 4}, {'C', 3}, {'G', 3}, {'C', 4}, {'D', 4}}).find("</staff-details>"),
                   16, "<capo>2</capo></staff-details>"),
      placed("D4", 4, 2, 0) + placed("A4", 4, 5, 0)));
  EXPECT_EQ(spelling(reading.score.banjo.tuning), "gCGCD");
  EXPECT_EQ(reading.score.banjo.capo, 2);
  EXPECT_EQ(reading.score.banjo.fifth_capo, 7);
  EXPECT_EQ(first_note(reading, 1).placement, at(5, 0));
}

TEST(MusicXmlStrings, CapoThatLeavesTheDrone) {
  std::string details = open_g_details("<capo>2</capo>");
  const Reading reading = read_sound(with_details(details, placed("E4", 4, 1, 0) + placed("G4", 4, 5, 0)));
  EXPECT_EQ(reading.score.banjo.fifth_capo, 5);
  EXPECT_EQ(first_note(reading, 1).placement, at(5, 0));
  EXPECT_EQ(told(reading.report, "musicxml-fifth-capo", EntryKind::repair), 1U);
}

TEST(MusicXmlStrings, FifthStringFretsInEitherCounting) {
  // A4 on the fifth string: fret 7 from the long strings' nut, or 2 from its own.
  const Reading from_long = read_sound(with_details(open_g_details(), placed("A4", 8, 5, 7)));
  EXPECT_EQ(first_note(from_long).placement, at(5, 7));
  EXPECT_EQ(told(from_long.report, "musicxml-fifth-frets"), 0U);
  const Reading own = read_sound(with_details(open_g_details(), placed("A4", 8, 5, 2)));
  EXPECT_EQ(first_note(own).placement, at(5, 7));
  EXPECT_EQ(told(own.report, "musicxml-fifth-frets", EntryKind::decision), 1U);
}

TEST(MusicXmlStrings, MinorityOfTheOtherCountingIsReadByPitchAndTold) {
  const Reading reading =
      read_sound(with_details(open_g_details(), placed("A4", 2, 5, 7) + placed("B4", 2, 5, 9) +
                                                    placed("A4", 2, 5, 2) + placed("G4", 2, 5, 0)));
  EXPECT_EQ(first_note(reading, 2).placement, at(5, 7));
  EXPECT_EQ(told(reading.report, "musicxml-fifth-fret-counting", EntryKind::repair), 1U);
}

TEST(MusicXmlStrings, PlacementThatContradictsThePitch) {
  const Reading reading = read_sound(
      with_details(open_g_details(), placed("E3", 2, 4, 2) + placed("D4", 2, 1, 3) + placed("B3", 4, 2, 0)));
  EXPECT_EQ(line_of(reading), "E3 1/4, D4 1/4, B3 1/2");
  EXPECT_FALSE(first_note(reading, 1).placement);
  EXPECT_EQ(told(reading.report, "musicxml-placement", EntryKind::loss), 1U);
}

TEST(MusicXmlStrings, StringAndFretWithoutAPitch) {
  const std::string bare =
      "<note><unpitched/><duration>4</duration><notations><technical><string>5</string><fret>7</fret>"
      "</technical></notations></note>";
  const Reading reading = read_sound(with_details(open_g_details(), bare + placed("A4", 4, 5, 7)));
  EXPECT_EQ(line_of(reading), "A4 1/2, A4 1/2");
  EXPECT_EQ(first_note(reading).placement, at(5, 7));
  EXPECT_EQ(told(reading.report, "musicxml-pitch-missing", EntryKind::repair), 1U);
}

TEST(MusicXmlStrings, StringWithoutAFret) {
  const Reading reading =
      read_sound(with_details(open_g_details(), note("E3", 8, "<technical><string>4</string></technical>")));
  EXPECT_EQ(first_note(reading).placement, at(4, 2));
}

TEST(MusicXmlStrings, TuningMissingIsDerived) {
  const Reading reading =
      read_sound(one_measure(placed("E3", 2, 4, 2) + placed("D4", 2, 1, 0) + placed("A4", 4, 5, 7)));
  EXPECT_EQ(reading.score.banjo.tuning, open_g());
  EXPECT_EQ(first_note(reading, 2).placement, at(5, 7));
  EXPECT_EQ(told(reading.report, "musicxml-tuning-derived", EntryKind::repair), 1U);
  // C on the fourth string and on the second: double C.
  const Reading c =
      read_sound(one_measure(placed("C3", 2, 4, 0) + placed("C4", 2, 2, 0) + placed("G4", 4, 5, 0)));
  EXPECT_EQ(spelling(c.score.banjo.tuning), "gCGCD");
}

// A place that no known tuning explains is wrong where it stands alone, and proves a tuning where others
// agree.
TEST(MusicXmlStrings, OnePlaceDoesNotMakeATuning) {
  const Reading alone = read_sound(one_measure(placed("D3", 8, 4, 1)));
  EXPECT_EQ(alone.score.banjo.tuning, open_g());
  EXPECT_FALSE(first_note(alone).placement);
  EXPECT_EQ(told(alone.report, "musicxml-placement", EntryKind::loss), 1U);
  EXPECT_NE(all_told(alone.report).find("prove none: open G was assumed"), std::string::npos)
      << all_told(alone.report);
  const Reading among = read_sound(one_measure(placed("G3", 2, 3, 0) + placed("D3", 2, 4, 1) +
                                               placed("C4", 2, 2, 1) + placed("D4", 2, 1, 0)));
  EXPECT_EQ(among.score.banjo.tuning, open_g());
  EXPECT_FALSE(first_note(among, 1).placement);
  EXPECT_EQ(first_note(among, 2).placement, at(2, 1));
  const Reading several = read_sound(one_measure(placed("D3", 2, 4, 1) + placed("E3", 2, 4, 3) +
                                                 placed("C#3", 2, 4, 0) + placed("D4", 2, 1, 0)));
  EXPECT_EQ(spelling(several.score.banjo.tuning), "gC#GBD");
  EXPECT_EQ(first_note(several).placement, at(4, 1));
  // One wrong place among those that prove the string does no harm.
  const Reading most = read_sound(one_measure(placed("D3", 2, 4, 1) + placed("E3", 2, 4, 3) +
                                              placed("C#3", 2, 4, 0) + placed("F3", 2, 4, 3)));
  EXPECT_EQ(spelling(most.score.banjo.tuning), "gC#GBD");
}

// The tuning that is known and explains most, though not all.
TEST(MusicXmlStrings, AKnownTuningThatExplainsMost) {
  const Reading reading = read_sound(one_measure(placed("C3", 2, 4, 0) + placed("C4", 2, 2, 0) +
                                                 placed("D#4", 2, 1, 0) + placed("G4", 2, 5, 0)));
  EXPECT_EQ(spelling(reading.score.banjo.tuning), "gCGCD");
  EXPECT_FALSE(first_note(reading, 2).placement);
}

// What is stated holds until several places prove otherwise, and a string that a banjo has not proves
// nothing.
TEST(MusicXmlStrings, AStatedTuningIsNotOverruledByOnePlace) {
  for (const std::string& music : {placed("D3", 8, 4, 1), placed("C3", 8, 4, 0), placed("E2", 8, 6, 0)}) {
    const Reading reading = read_sound(with_details(open_g_details(), music));
    EXPECT_EQ(reading.score.banjo.tuning, open_g());
    EXPECT_FALSE(first_note(reading).placement);
    EXPECT_EQ(told(reading.report, "musicxml-tuning-derived"), 0U) << all_told(reading.report);
    EXPECT_EQ(told(reading.report, "musicxml-placement", EntryKind::loss), 1U);
  }
  const Reading several = read_sound(
      with_details(open_g_details(), placed("C3", 2, 4, 0) + placed("D3", 2, 4, 2) + placed("E3", 4, 4, 4)));
  EXPECT_EQ(spelling(several.score.banjo.tuning), "gCGBD");
  EXPECT_EQ(told(several.report, "musicxml-tuning-derived", EntryKind::repair), 1U);
}

TEST(MusicXmlStrings, GuitarDefaultTuningOnABanjoPart) {
  const Reading reading = read_sound(with_details(
      guitar, placed("E3", 2, 4, 2) + placed("D4", 2, 1, 0) + placed("C4", 2, 2, 1) + placed("G4", 2, 5, 0)));
  EXPECT_EQ(reading.score.banjo.tuning, open_g());
  EXPECT_EQ(first_note(reading, 3).placement, at(5, 0));
  EXPECT_EQ(told(reading.report, "musicxml-tuning-derived", EntryKind::repair), 1U);
}

TEST(MusicXmlStrings, GuitarThatIsAGuitarLosesItsFrets) {
  const Reading reading = read_sound(with_details(guitar, placed("E4", 4, 1, 0) + placed("D3", 4, 4, 0)));
  EXPECT_EQ(line_of(reading), "E4 1/2, D3 1/2");
  EXPECT_FALSE(first_note(reading).placement);
  EXPECT_EQ(reading.score.banjo.tuning, open_g());
  EXPECT_EQ(told(reading.report, "musicxml-other-instrument", EntryKind::loss), 1U);
}

TEST(MusicXmlStrings, PitchesAnOctaveUpWithoutTranspose) {
  const Reading reading = read_sound(
      with_details(open_g_details(), placed("E4", 2, 4, 2) + placed("D5", 2, 1, 0) + placed("G5", 4, 5, 0)));
  EXPECT_EQ(line_of(reading), "E3 1/4, D4 1/4, G4 1/2");
  EXPECT_EQ(first_note(reading).placement, at(4, 2));
  EXPECT_EQ(told(reading.report, "musicxml-octave", EntryKind::repair), 1U);
}

TEST(MusicXmlStrings, TuningAnOctaveUpWithTranspose) {
  const Reading reading =
      read_sound(with_details(octave_down + tuning_lines({{'G', 5}, {'D', 4}, {'G', 4}, {'B', 4}, {'D', 5}}),
                              placed("E4", 2, 4, 2) + placed("D5", 2, 1, 0) + placed("G5", 4, 5, 0)));
  EXPECT_EQ(line_of(reading), "E3 1/4, D4 1/4, G4 1/2");
  EXPECT_EQ(reading.score.banjo.tuning, open_g());
  EXPECT_EQ(told(reading.report, "musicxml-tuning-octave", EntryKind::repair), 1U);
}

TEST(MusicXmlStrings, EverythingAnOctaveUp) {
  const Reading reading =
      read_sound(with_details(tuning_lines({{'G', 5}, {'D', 4}, {'G', 4}, {'B', 4}, {'D', 5}}),
                              placed("E4", 2, 4, 2) + placed("D5", 2, 1, 0) + placed("G5", 4, 5, 0)));
  EXPECT_EQ(line_of(reading), "E3 1/4, D4 1/4, G4 1/2");
  EXPECT_EQ(reading.score.banjo.tuning, open_g());
  EXPECT_EQ(told(reading.report, "musicxml-octave", EntryKind::repair), 1U);
}

TEST(MusicXmlStrings, FretsBeyondTheUsualNeck) {
  const Reading reading = read_sound(with_details(open_g_details(), placed("D6", 8, 1, 24)));
  EXPECT_EQ(reading.score.banjo.frets, 24);
  EXPECT_EQ(first_note(reading).placement, at(1, 24));
}

TEST(MusicXmlStrings, TwoNotesOnOneString) {
  const std::string second =
      note("E4", 8, "<technical><string>1</string><fret>2</fret></technical>", "<chord/>");
  const Reading reading = read_sound(with_details(open_g_details(), placed("D4", 8, 1, 0) + second));
  EXPECT_EQ(line_of(reading), "E4+D4 1");
  EXPECT_EQ(told(reading.report, "musicxml-string-twice", EntryKind::loss), 1U);
}

// ---- the same notes twice ----

std::string two_staves(std::string_view tab_music, std::string_view notation_music,
                       std::string_view more = "") {
  std::string details = open_g_details();
  details.insert(details.find('>'), " number=\"2\"");
  return with_details(
      "<staves>2</staves><clef number=\"1\"><sign>G</sign><line>2</line></clef><clef number=\"2\">"
      "<sign>TAB</sign><line>5</line></clef>" +
          details + std::string(more),
      std::string(notation_music) + "<backup><duration>8</duration></backup>" + std::string(tab_music));
}
std::string on_staff(std::string text, int staff) {
  for (std::size_t i = text.find("<duration>"); i != std::string::npos; i = text.find("<duration>", i + 40)) {
    const auto end = text.find("</duration>", i) + 11;
    text.insert(end,
                "<voice>" + std::to_string(staff) + "</voice><staff>" + std::to_string(staff) + "</staff>");
  }
  return text;
}

TEST(MusicXmlCopies, NotationAndTabAreOne) {
  const Reading reading = read_sound(two_staves(
      on_staff(placed("E3", 2, 4, 2) + placed("D4", 2, 1, 0) + placed("G4", 4, 5, 0), 2),
      on_staff(
          note("E3", 2, "<technical><fingering>2</fingering></technical>") + note("D4", 2) + note("G4", 4),
          1)));
  EXPECT_EQ(line_of(reading), "E3 1/4, D4 1/4, G4 1/2");
  EXPECT_EQ(first_note(reading).placement, at(4, 2));
  EXPECT_EQ(first_note(reading).finger, FretFinger::middle);
  EXPECT_EQ(reading.inventory.parts[0].notes, 3U);
}

TEST(MusicXmlCopies, TabIsRightAboutStrings) {
  // B3 is open on string 2 and at fret 4 on string 3.
  const Reading reading =
      read_sound(two_staves(on_staff(placed("B3", 8, 3, 4), 2), on_staff(placed("B3", 8, 2, 0), 1)));
  EXPECT_EQ(line_of(reading), "B3 1");
  EXPECT_EQ(first_note(reading).placement, at(3, 4));
  EXPECT_EQ(told(reading.report, "musicxml-copy-strings", EntryKind::loss), 1U);
}

TEST(MusicXmlCopies, RolesOfBothStavesAreOne) {
  const auto said = [](std::string_view role, int staff) {
    std::string text = on_staff(placed("B3", 8, 2, 0), staff);
    if (!role.empty()) {
      text.insert(text.find("</note>"),
                  "<play><other-play type=\"fifthpeg-role\">" + std::string(role) + "</other-play></play>");
    }
    return text;
  };
  for (const auto& [tab, notation] :
       {std::pair{"melody", "melody"}, std::pair{"melody", ""}, std::pair{"", "melody"}}) {
    const Reading reading = read_sound(two_staves(said(tab, 2), said(notation, 1)));
    EXPECT_EQ(first_note(reading).role, Role::melody);
    EXPECT_EQ(told(reading.report, "musicxml-copy-role"), 0U);
  }
  const Reading reading = read_sound(two_staves(said("fill", 2), said("melody", 1)));
  EXPECT_EQ(first_note(reading).role, Role::melody);
  EXPECT_EQ(told(reading.report, "musicxml-copy-role", EntryKind::loss), 1U);
}

TEST(MusicXmlCopies, RhythmIsTheNotations) {
  // The tab copy lacks a dot's worth of its first note.
  const Reading reading =
      read_sound(two_staves(on_staff(placed("E3", 2, 4, 2) + note("rest", 1) + placed("D4", 5, 1, 0), 2),
                            on_staff(note("E3", 3) + note("D4", 5), 1)));
  EXPECT_EQ(line_of(reading), "E3 3/8, D4 5/8");
}

TEST(MusicXmlCopies, TransposedStaffByStaff) {
  // Notation an octave up with a transpose of its own, tab at sounding pitch.
  const Reading reading = read_sound(two_staves(
      on_staff(placed("E3", 8, 4, 2), 2), on_staff(note("E4", 8), 1),
      "<transpose number=\"1\"><chromatic>0</chromatic><octave-change>-1</octave-change></transpose>"));
  EXPECT_EQ(line_of(reading), "E3 1");
  EXPECT_EQ(first_note(reading).placement, at(4, 2));
}

TEST(MusicXmlCopies, NoteOnTheTabAlone) {
  const Reading reading = read_sound(two_staves(on_staff(placed("E3", 4, 4, 2) + placed("D4", 4, 1, 0), 2),
                                                on_staff(note("E3", 4) + note("rest", 4), 1)));
  EXPECT_EQ(line_of(reading), "E3 1/2, D4 1/2");
  EXPECT_EQ(told(reading.report, "musicxml-copy-differs", EntryKind::repair), 1U);
}

// A chime over the seventh fret sounds a twelfth above the open string; some write the pitch of the fret
// instead.
TEST(MusicXmlStrings, ChimesKeepTheirPlace) {
  const auto chime = [](std::string_view pitch, int fret) {
    const std::string place =
        "<string>1</string><fret>" + std::to_string(fret) + "</fret><harmonic><natural/></harmonic>";
    const Reading reading =
        read_sound(with_details(open_g_details(), note(pitch, 8, "<technical>" + place + "</technical>")));
    return first_note(reading).placement;
  };
  EXPECT_EQ(chime("A5", 7), at(1, 7));
  EXPECT_EQ(chime("A4", 7), at(1, 7));
  EXPECT_EQ(chime("D5", 12), at(1, 12));
  EXPECT_EQ(chime("D6", 5), at(1, 5));
  EXPECT_EQ(chime("B5", 7), std::nullopt);
}

TEST(MusicXmlCopies, DirectionsOfTheTabStaffThatRepeatAreOne) {
  const auto words = [](const std::string& text, int staff) {
    return "<direction><direction-type><words>" + text + "</words></direction-type><staff>" +
           std::to_string(staff) + "</staff></direction>";
  };
  const Reading reading =
      read_sound(two_staves(words("softly", 2) + words("tab only", 2) + on_staff(placed("E3", 8, 4, 2), 2),
                            words("softly", 1) + words("softly", 1) + on_staff(note("E3", 8), 1)));
  std::string all;
  for (const Direction& one : reading.score.measures[0].directions) all += one.text + ";";
  EXPECT_EQ(all, "softly;softly;tab only;");
}

TEST(MusicXmlCopies, GrandStaffBecomesOneLine) {
  const std::string two =
      "<staves>2</staves><clef number=\"1\"><sign>G</sign></clef><clef number=\"2\"><sign>F</sign></clef>";
  const Reading reading = read_sound(with_details(two, on_staff(note("D4", 4) + note("E4", 4), 1) +
                                                           "<backup><duration>8</duration></backup>" +
                                                           on_staff(note("G3", 8), 2)));
  EXPECT_EQ(line_of(reading), "D4+G3* 1/2, E4 1/2");
}

TEST(MusicXmlCopies, PartsOfNotationAndTab) {
  const std::string list =
      "<part-list><score-part id=\"P1\"><part-name>Banjo</part-name></score-part>"
      "<score-part id=\"P2\"><part-name>Banjo tab</part-name></score-part></part-list>";
  const Reading reading = read_sound(document(
      "<part id=\"P1\">" + measure(note("E4", 4) + note("D5", 4), "1", attributes_with(octave_down)) +
          "</part><part id=\"P2\">" +
          measure(placed("E3", 4, 4, 2) + placed("D4", 4, 1, 0), "1", attributes_with(open_g_details())) +
          "</part>",
      list));
  EXPECT_EQ(line_of(reading), "E3 1/2, D4 1/2");
  EXPECT_EQ(first_note(reading).placement, at(4, 2));
  EXPECT_EQ(reading.inventory.chosen, 0U);
  EXPECT_EQ(told(reading.report, "musicxml-tab-part", EntryKind::decision), 1U);
}

}  // namespace
}  // namespace fifthpeg
