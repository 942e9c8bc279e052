// What write_musicxml puts into the file, read back as plain XML.
#include "fifthpeg/write.hpp"

#include <gtest/gtest.h>
#include <map>
#include <string>
#include <tinyxml2.h>
#include <vector>
#include <zip.h>

#include "fifthpeg/errors.hpp"
#include "formats/musicxml/writer/scores.hpp"
#include "property/random_score.hpp"
#include "version.hpp"

namespace fifthpeg {
namespace {

using testing::placed_note;
using testing::score_of;
using tinyxml2::XMLElement;

std::string written(const Score& score, const MusicXmlOptions& options = {}, Report* report = nullptr) {
  StringSink sink;
  const Report written = write_musicxml(score, options, sink);
  if (report != nullptr) *report = written;
  return sink.str();
}

MusicXmlOptions on(Staves staves) {
  MusicXmlOptions options;
  options.staves = staves;
  return options;
}

// A written score as a tree.
class Tree {
 public:
  explicit Tree(const Score& score, const MusicXmlOptions& options = {}) : text_(written(score, options)) {
    EXPECT_EQ(document_.Parse(text_.c_str(), text_.size()), tinyxml2::XML_SUCCESS);
  }
  const std::string& text() const { return text_; }
  const XMLElement* root() const { return document_.RootElement(); }

  // The element at a path of names below the root, "part/measure"; null where there is none.
  const XMLElement* at(const std::string& path) const { return below(root(), path); }
  static const XMLElement* below(const XMLElement* element, const std::string& path) {
    std::size_t from = 0;
    while (element != nullptr && from <= path.size()) {
      const std::size_t slash = std::min(path.find('/', from), path.size());
      element = element->FirstChildElement(path.substr(from, slash - from).c_str());
      from = slash + 1;
    }
    return element;
  }
  static std::string text_at(const XMLElement* element, const std::string& path) {
    const XMLElement* found = below(element, path);
    return found != nullptr && found->GetText() != nullptr ? found->GetText() : "";
  }
  std::string text_at(const std::string& path) const { return text_at(root(), path); }

  const XMLElement* measure(int index = 0) const {
    const XMLElement* measure = at("part/measure");
    for (; index > 0 && measure != nullptr; --index) measure = measure->NextSiblingElement("measure");
    return measure;
  }
  // Notes of a staff, 0 for all where there is only one; in order.
  std::vector<const XMLElement*> notes(int measure_index = 0, int staff = 1) const {
    std::vector<const XMLElement*> result;
    const XMLElement* parent = measure(measure_index);
    for (auto* note = parent->FirstChildElement("note"); note; note = note->NextSiblingElement("note")) {
      if (staff == 0 || text_at(note, "staff") == std::to_string(staff)) result.push_back(note);
    }
    return result;
  }

 private:
  std::string text_;
  tinyxml2::XMLDocument document_;
};

int count(const XMLElement* parent, const char* name) {
  int number = 0;
  for (auto* child = parent->FirstChildElement(name); child; child = child->NextSiblingElement(name))
    ++number;
  return number;
}

// ---- the document ------------------------------------------------------------------------------

TEST(MusicXmlHead, IsMusicXml40Partwise) {
  const Tree tree(score_of("4/4", {"1"}));
  // The declarations as the MusicXML 4.0 specification gives them.
  EXPECT_EQ(
      tree.text().find("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                       "<!DOCTYPE score-partwise PUBLIC \"-//Recordare//DTD MusicXML 4.0 Partwise//EN\" "
                       "\"http://www.musicxml.org/dtds/partwise.dtd\">\n"),
      0U);
  EXPECT_STREQ(tree.root()->Name(), "score-partwise");
  EXPECT_STREQ(tree.root()->Attribute("version"), "4.0");
}

TEST(MusicXmlHead, NamesWorkAndEncoding) {
  Score score = score_of("4/4", {"1"});
  score.work = {"Title", "C", "A", "L", "R", "S"};
  MusicXmlOptions options;
  options.encoding_date = "2026-01-31";
  const Tree tree(score, options);
  EXPECT_EQ(tree.text_at("work/work-title"), "Title");
  std::map<std::string, std::string> creators;
  for (auto* creator = tree.at("identification/creator"); creator;
       creator = creator->NextSiblingElement("creator")) {
    creators[creator->Attribute("type")] = creator->GetText();
  }
  EXPECT_EQ(creators,
            (std::map<std::string, std::string>{{"composer", "C"}, {"arranger", "A"}, {"lyricist", "L"}}));
  EXPECT_EQ(tree.text_at("identification/rights"), "R");
  EXPECT_EQ(tree.text_at("identification/source"), "S");
  EXPECT_EQ(tree.text_at("identification/encoding/software"), std::string("fifthpeg ") + version_text);
  EXPECT_EQ(tree.text_at("identification/encoding/encoding-date"), "2026-01-31");
  EXPECT_EQ(tree.at("identification/miscellaneous"), nullptr);
}

TEST(MusicXmlHead, IsABanjo) {
  const Tree tree(score_of("4/4", {"1"}));
  EXPECT_EQ(tree.text_at("part-list/score-part/part-name"), "Banjo");
  // sounds.xml of MusicXML 4.0; General MIDI level 1, program 106 counted from 1.
  EXPECT_EQ(tree.text_at("part-list/score-part/score-instrument/instrument-sound"), "pluck.banjo");
  EXPECT_EQ(tree.text_at("part-list/score-part/midi-instrument/midi-program"), "106");
}

TEST(MusicXmlHead, RefusesDatesThatAreNone) {
  for (const char* date :
       {"2026-02-30", "31.1.2026", "2026-1-31", "2025-02-29", "0000-01-01", "2026-13-01"}) {
    MusicXmlOptions options;
    options.encoding_date = date;
    EXPECT_THROW(written(score_of("4/4", {"1"}), options), UsageError) << date;
  }
  MusicXmlOptions leap;
  leap.encoding_date = "2024-02-29";
  EXPECT_NO_THROW(written(score_of("4/4", {"1"}), leap));
}

TEST(MusicXmlHead, SameScoreSameBytes) {
  const Score score = testing::random_score(3);
  EXPECT_EQ(written(score), written(score));
}

// ---- staves and banjo --------------------------------------------------------------------------

TEST(MusicXmlStaves, NotationAndTab) {
  const Tree tree(score_of("4/4", {"1"}));
  const XMLElement* attributes = tree.at("part/measure/attributes");
  EXPECT_EQ(Tree::text_at(attributes, "staves"), "2");
  const XMLElement* clef = attributes->FirstChildElement("clef");
  EXPECT_EQ(Tree::text_at(clef, "sign"), "G");
  EXPECT_STREQ(clef->Attribute("number"), "1");
  clef = clef->NextSiblingElement("clef");
  EXPECT_EQ(Tree::text_at(clef, "sign"), "TAB");
  EXPECT_EQ(Tree::text_at(clef, "line"), "5");
  EXPECT_STREQ(clef->Attribute("number"), "2");
  EXPECT_STREQ(attributes->FirstChildElement("staff-details")->Attribute("number"), "2");
  // Written an octave above the sound: what is to be added to the written pitch is an octave down.
  EXPECT_EQ(Tree::text_at(attributes, "transpose/octave-change"), "-1");
  EXPECT_EQ(Tree::text_at(attributes, "transpose/chromatic"), "0");
}

TEST(MusicXmlStaves, OneStaffNeedsNoNumbers) {
  for (const Staves staves : {Staves::notation, Staves::tab}) {
    const Tree tree(score_of("4/4", {"1/2 1/2"}), on(staves));
    EXPECT_EQ(tree.text().find("<staff>"), std::string::npos);
    EXPECT_EQ(tree.text().find("<backup>"), std::string::npos);
    EXPECT_EQ(tree.at("part/measure/attributes/staves"), nullptr);
    EXPECT_EQ(tree.text_at("part/measure/attributes/clef/sign"), staves == Staves::tab ? "TAB" : "G");
    EXPECT_EQ(tree.notes(0, 0).size(), 2U);
    EXPECT_NE(tree.at("part/measure/attributes/staff-details/staff-tuning"), nullptr);
  }
}

TEST(MusicXmlStaves, BothHoldTheSameNotesAndAddUp) {
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    const Score score = testing::random_score(seed);
    const Tree tree(score);
    const std::int64_t divisions = std::stoll(tree.text_at("part/measure/attributes/divisions"));
    int index = 0;
    for (const Measure& measure : score.measures) {
      const auto first = tree.notes(index, 1);
      const auto second = tree.notes(index, 2);
      ASSERT_EQ(first.size(), second.size());
      std::int64_t length = 0;
      for (std::size_t i = 0; i < first.size(); ++i) {
        for (const char* same : {"pitch/step", "pitch/alter", "pitch/octave", "duration", "type"}) {
          ASSERT_EQ(Tree::text_at(first[i], same), Tree::text_at(second[i], same));
        }
        const bool chord = first[i]->FirstChildElement("chord") != nullptr;
        const bool grace = first[i]->FirstChildElement("grace") != nullptr;
        if (!chord && !grace) length += std::stoll(Tree::text_at(first[i], "duration"));
        EXPECT_EQ(Tree::text_at(first[i], "voice"), "1");
        EXPECT_EQ(Tree::text_at(second[i], "voice"), "5");
      }
      EXPECT_EQ(Fraction(length, 4 * divisions), measure.length);
      EXPECT_EQ(Tree::text_at(tree.measure(index), "backup/duration"), std::to_string(length));
      ++index;
    }
  }
}

std::string tuning_line(const Tree& tree, int line) {
  for (auto* tuning = tree.at("part/measure/attributes/staff-details/staff-tuning"); tuning;
       tuning = tuning->NextSiblingElement("staff-tuning")) {
    if (tuning->IntAttribute("line") == line) {
      return Tree::text_at(tuning, "tuning-step") + Tree::text_at(tuning, "tuning-alter") +
             Tree::text_at(tuning, "tuning-octave");
    }
  }
  return "";
}

TEST(MusicXmlBanjo, OpenGOnItsLines) {
  const Tree tree(score_of("4/4", {"1"}));
  // Line 1 is the lowest line of the staff, and the drone (MusicXML: staff-tuning counts from the bottom).
  EXPECT_EQ(tuning_line(tree, 1), "G4");
  EXPECT_EQ(tuning_line(tree, 2), "D3");
  EXPECT_EQ(tuning_line(tree, 3), "G3");
  EXPECT_EQ(tuning_line(tree, 4), "B3");
  EXPECT_EQ(tuning_line(tree, 5), "D4");
  EXPECT_EQ(tree.text_at("part/measure/attributes/staff-details/staff-lines"), "5");
  EXPECT_EQ(tree.at("part/measure/attributes/staff-details/capo"), nullptr);
}

TEST(MusicXmlBanjo, CapoRaisesEveryString) {
  Score score = score_of("4/4", {"1"});
  score.banjo.capo = 2;
  score.banjo.fifth_capo = 7;
  const Tree usual(score);
  EXPECT_EQ(tuning_line(usual, 1), "G4");
  EXPECT_EQ(usual.text_at("part/measure/attributes/staff-details/capo"), "2");
  EXPECT_EQ(usual.at("identification/miscellaneous"), nullptr);
  // Capo 2 and the drone left open sounds G4: what the capo raises to it is F4.
  score.banjo.fifth_capo = 5;
  const Tree open(score);
  EXPECT_EQ(tuning_line(open, 1), "F4");
  EXPECT_EQ(tuning_line(open, 5), "D4");
  std::map<std::string, std::string> fields;
  for (auto* field = open.at("identification/miscellaneous/miscellaneous-field"); field;
       field = field->NextSiblingElement()) {
    fields[field->Attribute("name")] = field->GetText();
  }
  EXPECT_EQ(fields, (std::map<std::string, std::string>{{"fifthpeg.fifth-capo", "5"},
                                                        {"fifthpeg.fifth-tuning", "G4"}}));
}

TEST(MusicXmlBanjo, PlacementIsWrittenOnBothStaves) {
  Score score = score_of("4/4", {"1/2 1/2"});
  score.measures[0].strokes[0].notes = {placed_note(score.banjo, 5, 7)};
  const Tree tree(score);
  for (const int staff : {1, 2}) {
    const auto notes = tree.notes(0, staff);
    EXPECT_EQ(Tree::text_at(notes[0], "notations/technical/string"), "5");
    EXPECT_EQ(Tree::text_at(notes[0], "notations/technical/fret"), "7");
    EXPECT_EQ(Tree::below(notes[1], "notations/technical"), nullptr);
    // Two half steps above g4, written an octave higher.
    EXPECT_EQ(Tree::text_at(notes[0], "pitch/step"), "A");
    EXPECT_EQ(Tree::text_at(notes[0], "pitch/octave"), "5");
  }
}

TEST(MusicXmlBanjo, ShortStringFretsFromItsOwnNut) {
  Score score = score_of("4/4", {"1/4 1/4 1/4 1/4"});
  score.banjo.capo = 2;
  score.banjo.fifth_capo = 7;
  const std::vector<Placement> placements{{5, 0}, {5, 7}, {1, 7}, {5, 9}};
  for (std::size_t i = 0; i < placements.size(); ++i) {
    score.measures[0].strokes[i].notes = {placed_note(score.banjo, placements[i].string, placements[i].fret)};
  }
  MusicXmlOptions options;
  options.fifth_frets = FifthFrets::from_own_nut;
  const Tree tree(score, options);
  const auto notes = tree.notes(0, 2);
  // The capo at 7 is 5 frets beyond the long strings' capo at 2.
  const std::vector<std::string> frets{"0", "2", "7", "4"};
  for (std::size_t i = 0; i < frets.size(); ++i) {
    EXPECT_EQ(Tree::text_at(notes[i], "notations/technical/fret"), frets[i]);
  }
  EXPECT_STREQ(tree.at("identification/miscellaneous/miscellaneous-field")->Attribute("name"),
               "fifthpeg.fifth-frets");
}

// ---- measures ----------------------------------------------------------------------------------

TEST(MusicXmlMeasures, DivisionsAreTheLeastCommonOnes) {
  EXPECT_EQ(Tree(score_of("4/4", {"1"})).text_at("part/measure/attributes/divisions"), "1");
  EXPECT_EQ(Tree(score_of("4/4", {"1/16 15/16"})).text_at("part/measure/attributes/divisions"), "4");
  EXPECT_EQ(Tree(score_of("4/4", {"3:2[1/12 1/12 1/12] 3/4", "1/16 15/16"}))
                .text_at("part/measure/attributes/divisions"),
            "12");
}

TEST(MusicXmlMeasures, DivisionsOfTheirOwnWhereNoneAreCommon) {
  const Tree tree(
      score_of("4/4", {"1/7 6/7", "1/11 10/11", "1/13 12/13", "1/17 16/17", "1/19 18/19", "1/23 22/23"}));
  EXPECT_EQ(Tree::text_at(tree.measure(0), "attributes/divisions"), "7");
  EXPECT_EQ(Tree::text_at(tree.measure(5), "attributes/divisions"), "23");
  EXPECT_EQ(Tree::text_at(tree.notes(5, 1)[0], "duration"), "4");
  EXPECT_EQ(Tree::below(tree.notes(5, 1)[0], "type"), nullptr);
}

TEST(MusicXmlMeasures, AttributesOnlyWhereTheyChange) {
  Score score = score_of("4/4", {"1", "1", "1"});
  score.measures[2].key = {2, Mode::major};
  const Tree tree(score);
  EXPECT_EQ(count(tree.measure(0), "attributes"), 1);
  EXPECT_EQ(count(tree.measure(1), "attributes"), 0);
  EXPECT_EQ(Tree::text_at(tree.measure(2), "attributes/key/fifths"), "2");
  EXPECT_EQ(Tree::text_at(tree.measure(2), "attributes/key/mode"), "major");
  EXPECT_EQ(Tree::below(tree.measure(2), "attributes/time"), nullptr);
}

TEST(MusicXmlMeasures, MetersAndTheirSymbols) {
  EXPECT_EQ(Tree(score_of("3+2/8", {"5/8"})).text_at("part/measure/attributes/time/beats"), "3+2");
  Score cut = score_of("2/2", {"1"});
  cut.measures[0].meter.symbol = Meter::Symbol::cut;
  EXPECT_STREQ(Tree(cut).at("part/measure/attributes/time")->Attribute("symbol"), "cut");
}

TEST(MusicXmlMeasures, PickupsRepeatsAndEndings) {
  Score score = score_of("2/4", {"1/4", "1/2", "1/2", "1/2"});
  score.measures[0].implicit = true;
  score.measures[0].number = "0";
  score.measures[1].repeat_starts = true;
  score.measures[2].ending = Ending{{1, 2}, true, Ending::Stop::closed};
  score.measures[2].repeat_times = 3;
  score.measures[3].ending = Ending{{3}, true, Ending::Stop::open};
  score.measures[3].right_bar = BarStyle::light_heavy;
  const Tree tree(score);
  EXPECT_STREQ(tree.measure(0)->Attribute("implicit"), "yes");
  EXPECT_STREQ(tree.measure(0)->Attribute("number"), "0");
  const XMLElement* left = tree.measure(1)->FirstChildElement("barline");
  EXPECT_STREQ(left->Attribute("location"), "left");
  EXPECT_EQ(Tree::text_at(left, "bar-style"), "heavy-light");
  EXPECT_STREQ(left->FirstChildElement("repeat")->Attribute("direction"), "forward");
  const XMLElement* first = tree.measure(2)->FirstChildElement("barline");
  EXPECT_STREQ(first->FirstChildElement("ending")->Attribute("number"), "1,2");
  EXPECT_STREQ(first->FirstChildElement("ending")->Attribute("type"), "start");
  const XMLElement* right = tree.measure(2)->LastChildElement("barline");
  EXPECT_EQ(Tree::text_at(right, "bar-style"), "light-heavy");
  EXPECT_STREQ(right->FirstChildElement("ending")->Attribute("type"), "stop");
  EXPECT_STREQ(right->FirstChildElement("repeat")->Attribute("times"), "3");
  const XMLElement* end = tree.measure(3)->LastChildElement("barline");
  EXPECT_STREQ(end->FirstChildElement("ending")->Attribute("type"), "discontinue");
  EXPECT_EQ(Tree::text_at(end, "bar-style"), "light-heavy");
  EXPECT_EQ(count(tree.measure(0), "barline"), 0);
}

TEST(MusicXmlMeasures, ARestForTheWholeMeasure) {
  const Tree tree(score_of("3/4", {"r3/4"}));
  const XMLElement* note = tree.notes()[0];
  EXPECT_STREQ(note->FirstChildElement("rest")->Attribute("measure"), "yes");
  EXPECT_EQ(Tree::text_at(note, "duration"), "3");
  EXPECT_EQ(note->FirstChildElement("type"), nullptr);
}

// ---- notes -------------------------------------------------------------------------------------

TEST(MusicXmlNotes, TiesOverABarlineAndInsideAMeasure) {
  Score score = score_of("4/4", {"1/4 3/4", "1"});
  score.measures[0].strokes[1].notes[0].tied_to_next = true;
  score.measures[1].strokes[0].notes[0].tied_from_previous = true;
  score.measures[0].strokes[1].notes[0].picking_finger = PickingFinger::middle;
  const Tree tree(score);
  const auto notes = tree.notes(0, 1);
  ASSERT_EQ(notes.size(), 3U);  // quarter, quarter tied to a half: the middle of the measure is shown
  EXPECT_EQ(count(notes[0], "tie"), 0);
  EXPECT_STREQ(notes[1]->FirstChildElement("tie")->Attribute("type"), "start");
  EXPECT_STREQ(Tree::below(notes[1], "notations/tied")->Attribute("type"), "start");
  EXPECT_STREQ(notes[2]->FirstChildElement("tie")->Attribute("type"), "stop");
  EXPECT_STREQ(notes[2]->LastChildElement("tie")->Attribute("type"), "start");
  const auto on_tab = tree.notes(0, 2);
  EXPECT_EQ(Tree::text_at(on_tab[1], "notations/technical/pluck"), "M");
  EXPECT_EQ(Tree::text_at(on_tab[2], "notations/technical/pluck"), "");
  const auto next = tree.notes(1, 1);
  EXPECT_STREQ(Tree::below(next[0], "notations/tied")->Attribute("type"), "stop");
}

TEST(MusicXmlNotes, AccidentalsOnTheNotationStaffOnly) {
  Score score = score_of("4/4", {"1/2 1/2", "1/2 1/2"});
  score.measures[0].key = score.measures[1].key = {1, Mode::major};
  const Pitch c_sharp{Step::C, 1, 4};
  for (Measure& measure : score.measures) {
    for (Stroke& stroke : measure.strokes) stroke.notes[0].pitch = c_sharp;
  }
  score.measures[0].strokes[1].notes[0].tied_to_next = true;
  score.measures[1].strokes[0].notes[0].tied_from_previous = true;
  const Tree tree(score);
  EXPECT_EQ(Tree::text_at(tree.notes(0, 1)[0], "accidental"), "sharp");
  EXPECT_EQ(Tree::text_at(tree.notes(0, 1)[1], "accidental"), "");
  EXPECT_EQ(Tree::text_at(tree.notes(1, 1)[0], "accidental"), "");       // tied over
  EXPECT_EQ(Tree::text_at(tree.notes(1, 1)[1], "accidental"), "sharp");  // struck again
  EXPECT_EQ(Tree::text_at(tree.notes(0, 2)[0], "accidental"), "");
  EXPECT_EQ(Tree::text_at(tree.notes(0, 2)[0], "pitch/alter"), "1");
}

TEST(MusicXmlNotes, AKeyChangeInsideAMeasureChangesTheAccidentals) {
  Score score = score_of("4/4", {"1/2 1/2"});
  for (Stroke& stroke : score.measures[0].strokes) stroke.notes[0].pitch = {Step::F, 1, 4};
  score.measures[0].key_changes = {{{1, 2}, {1, Mode::major}}};
  const Tree tree(score);
  EXPECT_EQ(Tree::text_at(tree.notes()[0], "accidental"), "sharp");
  EXPECT_EQ(Tree::text_at(tree.notes()[1], "accidental"), "");
  EXPECT_EQ(count(tree.measure(), "attributes"), 2);
}

TEST(MusicXmlNotes, TupletsWithStartStopAndBracket) {
  const Tree tree(score_of("2/4", {"3:2[1/12 1/12 1/12] 3:2[1/6 1/12]"}));
  const auto notes = tree.notes();
  EXPECT_EQ(Tree::text_at(notes[0], "time-modification/actual-notes"), "3");
  EXPECT_EQ(Tree::text_at(notes[0], "time-modification/normal-notes"), "2");
  EXPECT_EQ(Tree::text_at(notes[0], "time-modification/normal-type"), "");
  EXPECT_STREQ(Tree::below(notes[0], "notations/tuplet")->Attribute("type"), "start");
  EXPECT_STREQ(Tree::below(notes[0], "notations/tuplet")->Attribute("bracket"), "no");
  EXPECT_EQ(Tree::below(notes[1], "notations/tuplet"), nullptr);
  EXPECT_STREQ(Tree::below(notes[2], "notations/tuplet")->Attribute("type"), "stop");
  EXPECT_EQ(Tree::text_at(notes[3], "type"), "quarter");
  EXPECT_EQ(Tree::text_at(notes[3], "time-modification/normal-type"), "eighth");
  EXPECT_STREQ(Tree::below(notes[3], "notations/tuplet")->Attribute("bracket"), "yes");
}

TEST(MusicXmlNotes, NestedTupletsMultiply) {
  const Tree tree(score_of("2/4", {"3:2[1/6 5:4[1/30 1/30 1/30 1/30 1/30] 1/6]"}));
  const auto notes = tree.notes();
  EXPECT_EQ(Tree::text_at(notes[0], "time-modification/actual-notes"), "3");
  EXPECT_EQ(Tree::text_at(notes[1], "time-modification/actual-notes"), "15");
  EXPECT_EQ(Tree::text_at(notes[1], "time-modification/normal-notes"), "8");
  const XMLElement* inner = Tree::below(notes[1], "notations/tuplet");
  EXPECT_STREQ(inner->Attribute("number"), "2");
  EXPECT_EQ(Tree::text_at(inner, "tuplet-actual/tuplet-number"), "5");
  EXPECT_EQ(Tree::text_at(inner, "tuplet-normal/tuplet-type"), "16th");
  EXPECT_EQ(Tree::text_at(notes[1], "type"), "16th");
}

TEST(MusicXmlNotes, BeamsAreOnTheFirstNoteOfAChord) {
  Score score = score_of("2/4", {"1/8 1/8 1/4"});
  score.measures[0].strokes[0].notes.push_back(score.measures[0].strokes[0].notes[0]);
  const Tree tree(score);
  const auto notes = tree.notes();
  EXPECT_EQ(Tree::text_at(notes[0], "beam"), "begin");
  EXPECT_NE(notes[1]->FirstChildElement("chord"), nullptr);
  EXPECT_EQ(notes[1]->FirstChildElement("beam"), nullptr);
  EXPECT_EQ(Tree::text_at(notes[2], "beam"), "end");
}

TEST(MusicXmlNotes, GraceNotesTakeNoTime) {
  Score score = score_of("2/4", {"g1/16 1/2"});
  score.measures[0].strokes[0].grace = Grace::slashed;
  const Tree tree(score);
  const auto notes = tree.notes();
  EXPECT_STREQ(notes[0]->FirstChildElement("grace")->Attribute("slash"), "yes");
  EXPECT_EQ(notes[0]->FirstChildElement("duration"), nullptr);
  EXPECT_EQ(Tree::text_at(notes[0], "type"), "16th");
}

// ---- techniques --------------------------------------------------------------------------------

TEST(MusicXmlTechniques, HammerOnIsPairedOnBothStaves) {
  Score score = score_of("2/4", {"1/4 1/4"});
  score.measures[0].strokes[0].notes = {placed_note(score.banjo, 3, 0)};
  score.measures[0].strokes[1].notes = {placed_note(score.banjo, 3, 2)};
  score.measures[0].strokes[0].notes[0].out_of = Technique::hammer_on;
  score.measures[0].strokes[1].notes[0].into = Technique::hammer_on;
  const Tree tree(score);
  for (const int staff : {1, 2}) {
    const auto notes = tree.notes(0, staff);
    const XMLElement* start = Tree::below(notes[0], "notations/technical/hammer-on");
    const XMLElement* stop = Tree::below(notes[1], "notations/technical/hammer-on");
    EXPECT_STREQ(start->Attribute("type"), "start");
    EXPECT_STREQ(start->GetText(), "H");
    EXPECT_STREQ(stop->Attribute("type"), "stop");
    EXPECT_STREQ(start->Attribute("number"), stop->Attribute("number"));
    EXPECT_EQ(start->IntAttribute("number"), staff == 1 ? 1 : 6);
    EXPECT_STREQ(Tree::below(notes[0], "notations/slur")->Attribute("type"), "start");
    EXPECT_STREQ(Tree::below(notes[1], "notations/slur")->Attribute("type"), "stop");
  }
}

// Two hammer-ons at once, and the stops in the other order than the starts: each has its own string's number.
TEST(MusicXmlTechniques, SimultaneousOnesPairByString) {
  Score score = score_of("2/4", {"1/4 1/4"});
  const Banjo banjo;
  auto& strokes = score.measures[0].strokes;
  strokes[0].notes = {placed_note(banjo, 2, 1), placed_note(banjo, 3, 2)};  // C4, A3
  strokes[1].notes = {placed_note(banjo, 3, 9), placed_note(banjo, 2, 3)};  // E4, D4
  for (Note& note : strokes[0].notes) note.out_of = Technique::hammer_on;
  for (Note& note : strokes[1].notes) note.into = Technique::hammer_on;
  const Tree tree(score);
  const auto notes = tree.notes();
  const auto number = [&](std::size_t i) {
    return Tree::below(notes[i], "notations/technical/hammer-on")->IntAttribute("number");
  };
  EXPECT_NE(number(0), number(1));
  EXPECT_EQ(number(0), number(3));
  EXPECT_EQ(number(1), number(2));
}

// A legato of the source may lead to another string.
TEST(MusicXmlTechniques, ASlurPairsAcrossStrings) {
  Score score = score_of("2/4", {"1/4 1/4"});
  auto& strokes = score.measures[0].strokes;
  strokes[0].notes = {placed_note({}, 3, 2)};
  strokes[1].notes = {placed_note({}, 2, 1)};
  strokes[0].notes[0].out_of = strokes[1].notes[0].into = Technique::slur;
  const Tree tree(score);
  EXPECT_EQ(Tree::below(tree.notes()[0], "notations/slur")->IntAttribute("number"),
            Tree::below(tree.notes()[1], "notations/slur")->IntAttribute("number"));
}

// A pull-off that never ends, and a slur that never began: neither is the other's end.
TEST(MusicXmlTechniques, AnEndByItselfIsNobodyElses) {
  Score score = score_of("3/4", {"1/4 1/4 1/4"});
  auto& strokes = score.measures[0].strokes;
  strokes[0].notes[0].out_of = Technique::pull_off;
  strokes[2].notes[0].into = Technique::slur;
  const Tree tree(score);
  EXPECT_NE(Tree::below(tree.notes()[0], "notations/slur")->IntAttribute("number"),
            Tree::below(tree.notes()[2], "notations/slur")->IntAttribute("number"));
}

TEST(MusicXmlTechniques, SlidesSlursAndPullOffs) {
  Score score = score_of("4/4", {"1/4 1/4 1/4 1/4"});
  auto& strokes = score.measures[0].strokes;
  const std::vector<Technique> all{Technique::slide, Technique::pull_off, Technique::slur};
  for (std::size_t i = 0; i < all.size(); ++i) {
    strokes[i].notes[0].out_of = all[i];
    strokes[i + 1].notes[0].into = all[i];
  }
  const Tree tree(score);
  const auto notes = tree.notes();
  EXPECT_STREQ(Tree::below(notes[0], "notations/slide")->Attribute("line-type"), "solid");
  EXPECT_STREQ(Tree::below(notes[1], "notations/slide")->Attribute("type"), "stop");
  EXPECT_STREQ(Tree::below(notes[1], "notations/technical/pull-off")->GetText(), "P");
  EXPECT_STREQ(Tree::below(notes[3], "notations/slur")->Attribute("type"), "stop");
  EXPECT_EQ(Tree::below(notes[3], "notations/technical"), nullptr);
}

TEST(MusicXmlTechniques, ChokesCountHalfSteps) {
  Score score = score_of("2/4", {"1/4 1/4"});
  score.measures[0].strokes[0].notes[0].choke = Choke{150, false, false};
  score.measures[0].strokes[1].notes[0].choke = Choke{205, true, true};
  const Tree tree(score);
  const auto notes = tree.notes();
  EXPECT_EQ(Tree::text_at(notes[0], "notations/technical/bend/bend-alter"), "1.5");
  const XMLElement* bend = Tree::below(notes[1], "notations/technical/bend");
  EXPECT_EQ(Tree::text_at(bend, "bend-alter"), "2.05");
  EXPECT_NE(bend->FirstChildElement("pre-bend"), nullptr);
  bend = bend->NextSiblingElement("bend");
  EXPECT_EQ(Tree::text_at(bend, "bend-alter"), "-2.05");
  EXPECT_NE(bend->FirstChildElement("release"), nullptr);
}

TEST(MusicXmlTechniques, HandsRingAndHeads) {
  Score score = score_of("6/8", {"1/8 1/8 1/8 1/8 1/8 1/8"});
  auto& strokes = score.measures[0].strokes;
  for (int i = 0; i < 6; ++i) {
    strokes[static_cast<std::size_t>(i)].notes[0].finger = static_cast<FretFinger>(i);
    strokes[static_cast<std::size_t>(i)].notes[0].picking_finger = static_cast<PickingFinger>(i);
  }
  strokes[0].notes[0].ring = Ring::let_ring;
  strokes[1].notes[0].ring = Ring::damp;
  strokes[2].notes[0].dead = true;
  strokes[3].notes[0].harmonic = true;
  const Tree tree(score);
  const auto notes = tree.notes();
  const auto on_tab = tree.notes(0, 2);
  const std::vector<std::string> fingers{"0", "1", "2", "3", "4", ""};
  const std::vector<std::string> picking_fingers{"T", "I", "M", "R", "L", ""};
  for (std::size_t i = 0; i < 6; ++i) {
    EXPECT_EQ(Tree::text_at(notes[i], "notations/technical/fingering"), fingers[i]);
    EXPECT_EQ(Tree::text_at(on_tab[i], "notations/technical/fingering"), "");
    EXPECT_EQ(Tree::text_at(on_tab[i], "notations/technical/pluck"), picking_fingers[i]);
    EXPECT_EQ(Tree::text_at(notes[i], "notations/technical/pluck"), "");
  }
  EXPECT_EQ(Tree::text_at(notes[5], "notations/technical/other-technical"), "thumb over the neck");
  EXPECT_NE(Tree::below(on_tab[5], "notations/technical/fingernails"), nullptr);
  EXPECT_STREQ(Tree::below(notes[0], "notations/tied")->Attribute("type"), "let-ring");
  EXPECT_EQ(notes[0]->FirstChildElement("tie"), nullptr);
  EXPECT_EQ(Tree::text_at(notes[1], "notations/technical/other-technical"), "damp");
  EXPECT_EQ(Tree::text_at(notes[2], "notehead"), "x");
  EXPECT_NE(Tree::below(notes[3], "notations/technical/harmonic/natural"), nullptr);
}

// On both staves and on all that a tie joins, so that whoever looks for the tune finds each of its notes.
TEST(MusicXmlRoles, StandWithEveryNoteThatHasOne) {
  Score score = score_of("4/4", {"5/8 1/4 1/8"});
  auto& strokes = score.measures[0].strokes;
  strokes[0].notes = {placed_note({}, 1, 0), placed_note({}, 5, 0)};
  strokes[0].notes[0].role = Role::melody;
  strokes[0].notes[1].role = Role::drone;
  strokes[1].notes[0].role = Role::kick_off;
  strokes[0].lyrics = {{"1", Syllabic::single, "la"}};
  const Tree tree(score);
  for (const int staff : {1, 2}) {
    const auto notes = tree.notes(0, staff);
    std::string roles;
    for (const auto* note : notes) {
      roles += Tree::text_at(note, "play/other-play") + " ";
      const auto* const role = Tree::below(note, "play/other-play");
      if (role == nullptr) continue;
      EXPECT_STREQ(role->Attribute("type"), "fifthpeg-role");
      EXPECT_EQ(role->Parent()->NextSiblingElement(), nullptr) << "the last of the note, behind its lyrics";
    }
    EXPECT_EQ(roles, "melody drone melody drone kick-off  ") << staff;
  }
}

// Found by fuzzing: written an octave up, a note of the ninth octave would stand in a tenth.
TEST(MusicXmlPitches, OutsideTheOctavesOfTheSchemaIsTold) {
  Score score = score_of("4/4", {"1"});
  score.measures[0].strokes[0].notes[0].pitch = Pitch{Step::C, 0, 9};
  score.measures[0].strokes[0].notes[0].placement.reset();
  StringSink sink;
  MusicXmlOptions options;
  options.staves = Staves::notation;
  const Report report = write_musicxml(score, options, sink);
  EXPECT_NE(sink.str().find("<octave>9</octave>"), std::string::npos);
  ASSERT_TRUE(report.has_losses());
  EXPECT_EQ(report.entries().front().slug, "musicxml-octave");
}

TEST(MusicXmlTechniques, ABrushIsAnArpeggioOnEveryNote) {
  Score score = score_of("2/4", {"1/2"});
  score.measures[0].strokes[0].notes = {placed_note({}, 1, 0), placed_note({}, 2, 0)};
  score.measures[0].strokes[0].brush = Brush::up;
  const Tree tree(score);
  for (const auto* note : tree.notes()) {
    EXPECT_STREQ(Tree::below(note, "notations/arpeggiate")->Attribute("direction"), "up");
  }
}

// ---- over the staff ----------------------------------------------------------------------------

TEST(MusicXmlDirections, TempoIsShownAndHeard) {
  Score score = score_of("6/8", {"3/4"});
  score.measures[0].tempos = {{0, {285, 2}, {3, 8}, "Lively", true}};
  const Tree tree(score);
  const XMLElement* direction = tree.at("part/measure/direction");
  EXPECT_EQ(Tree::text_at(direction, "direction-type/words"), "Lively");
  const XMLElement* metronome =
      direction->FirstChildElement()->NextSiblingElement()->FirstChildElement("metronome");
  EXPECT_EQ(Tree::text_at(metronome, "beat-unit"), "quarter");
  EXPECT_NE(metronome->FirstChildElement("beat-unit-dot"), nullptr);
  EXPECT_EQ(Tree::text_at(metronome, "per-minute"), "95");
  EXPECT_STREQ(direction->FirstChildElement("sound")->Attribute("tempo"), "142.5");
}

TEST(MusicXmlDirections, HiddenTempoIsASound) {
  Score score = score_of("4/4", {"1"});
  score.measures[0].tempos = {{{1, 2}, 90, {1, 4}, "", false}};
  const Tree tree(score);
  EXPECT_EQ(tree.at("part/measure/direction"), nullptr);
  EXPECT_STREQ(tree.at("part/measure/sound")->Attribute("tempo"), "90");
  EXPECT_EQ(tree.text_at("part/measure/sound/offset"), "2");
}

TEST(MusicXmlDirections, StandWhereTheyBelong) {
  Score score = score_of("4/4", {"1/2 1/2"});
  score.measures[0].directions = {{0, Direction::Kind::words, "a"},
                                  {{3, 4}, Direction::Kind::words, "b"},
                                  {1, Direction::Kind::da_capo, ""}};
  const Tree tree(score);
  const XMLElement* item = tree.measure()->FirstChildElement("attributes")->NextSiblingElement();
  std::string order;
  for (; item; item = item->NextSiblingElement()) {
    order += item->Name();
    const std::string offset = Tree::text_at(item, "offset");
    order += offset.empty() ? " " : "+" + offset + " ";
  }
  EXPECT_EQ(order, "direction note direction+1 note direction backup note note ");
  EXPECT_NE(tree.text().find("<words xml:lang=\"it\">D.C.</words>"), std::string::npos);
}

TEST(MusicXmlDirections, JumpsSound) {
  Score score = score_of("4/4", {"1"});
  using Kind = Direction::Kind;
  score.measures[0].directions = {{0, Kind::segno, ""},
                                  {0, Kind::coda, ""},
                                  {1, Kind::to_coda, "To Coda"},
                                  {1, Kind::dal_segno, "D.S. al Coda"},
                                  {1, Kind::fine, "Fine"}};
  const Tree tree(score);
  std::string sounds;
  for (auto* item = tree.at("part/measure/direction"); item; item = item->NextSiblingElement("direction")) {
    const auto* attribute = item->FirstChildElement("sound")->FirstAttribute();
    sounds += std::string(attribute->Name()) + "=" + attribute->Value() + " ";
  }
  EXPECT_EQ(sounds, "segno=segno coda=coda tocoda=coda dalsegno=segno fine=yes ");
}

TEST(MusicXmlDirections, ChordSymbols) {
  Score score = score_of("4/4", {"1"});
  ChordSymbol chord = *parse_chord_symbol("D7/F#");
  chord.text = "7";
  chord.degrees = {{ChordDegree::Kind::add, 9, -1}};
  score.measures[0].chords = {chord};
  const Tree tree(score);
  const XMLElement* harmony = tree.at("part/measure/harmony");
  EXPECT_EQ(Tree::text_at(harmony, "root/root-step"), "D");
  EXPECT_EQ(Tree::text_at(harmony, "kind"), "dominant");
  EXPECT_STREQ(harmony->FirstChildElement("kind")->Attribute("text"), "7");
  EXPECT_EQ(Tree::text_at(harmony, "bass/bass-step") + Tree::text_at(harmony, "bass/bass-alter"), "F1");
  EXPECT_EQ(Tree::text_at(harmony, "degree/degree-value"), "9");
  EXPECT_EQ(Tree::text_at(harmony, "degree/degree-alter"), "-1");
}

TEST(MusicXmlDirections, SwingOfEighths) {
  Score score = score_of("4/4", {"1"});
  score.swing = Swing{{1, 8}, 2, 1};
  const Tree tree(score);
  EXPECT_EQ(tree.text_at("part/measure/sound/swing/first"), "2");
  EXPECT_EQ(tree.text_at("part/measure/sound/swing/second"), "1");
  EXPECT_EQ(tree.text_at("part/measure/sound/swing/swing-type"), "eighth");
}

// ---- texts -------------------------------------------------------------------------------------

std::string title_written(const std::string& title, Report* report = nullptr) {
  Score score = score_of("4/4", {"1"});
  score.work.title = title;
  const std::string text = written(score, {}, report);
  const std::string open = "<work-title>";
  const std::size_t from = text.find(open) + open.size();
  return text.substr(from, text.find("</work-title>") - from);
}

TEST(MusicXmlText, IsEscaped) {
  EXPECT_EQ(title_written("a<b>&\"c'"), "a&lt;b&gt;&amp;\"c'");
  EXPECT_EQ(title_written("a\r\nb"), "a&#13;\nb");
  EXPECT_EQ(title_written(" \t"), "&#32;&#9;");
  EXPECT_EQ(title_written(" a "), " a ");
  EXPECT_EQ(title_written("K\xC3\xA4se \xF0\x9F\xAA\x95"), "K\xC3\xA4se \xF0\x9F\xAA\x95");
}

TEST(MusicXmlText, WhatXmlCannotHoldIsToldAndLeftOut) {
  Report report;
  EXPECT_EQ(title_written(std::string("a\0b\x1F\xEF\xBF\xBF", 7) + "c", &report), "abc");
  ASSERT_EQ(report.entries().size(), 1U);
  EXPECT_EQ(report.entries()[0].kind, EntryKind::loss);
  EXPECT_EQ(report.entries()[0].count, 3U);
}

TEST(MusicXmlText, WhatIsNotUtf8IsRepairedAndTold) {
  const std::string mark = "\xEF\xBF\xBD";
  const std::vector<std::pair<std::string, std::string>> cases{
      {"K\xE4se", "K" + mark + "se"},  // Latin-1
      {"\xC0\xAF", mark},              // overlong
      {"\xED\xA0\x80", mark},          // surrogate
      {"\xF4\x90\x80\x80", mark},      // beyond U+10FFFF
      {"a\xC3", "a" + mark},           // cut short
      {"\xFF\xFE", mark + mark},       // no UTF-8 lead
  };
  for (const auto& [in, out] : cases) {
    Report report;
    EXPECT_EQ(title_written(in, &report), out);
    ASSERT_EQ(report.entries().size(), 1U);
    EXPECT_EQ(report.entries()[0].kind, EntryKind::repair);
  }
}

// ---- losses ------------------------------------------------------------------------------------

TEST(MusicXmlReport, TellsWithMeasureAndBeat) {
  Report report;
  written(score_of("4/4", {"1", "1/4 1/7 17/28"}), {}, &report);
  ASSERT_EQ(report.entries().size(), 1U);
  EXPECT_EQ(report.entries()[0].slug, "musicxml-note-value");
  ASSERT_EQ(report.entries()[0].count, 2U);
  EXPECT_EQ(report.entries()[0].places[0].measure, "2");
  EXPECT_EQ(report.entries()[0].places[0].beat, Fraction(2));
  EXPECT_FALSE(report.has_losses());
}

TEST(MusicXmlReport, WholeScoresLoseNothing) {
  for (const testing::NamedScore& sample : testing::hand_made_scores()) {
    if (!sample.whole) continue;
    EXPECT_TRUE(flaws(sample.score).empty()) << sample.name << ": " << flaws(sample.score).front();
    Score again = sample.score;
    normalize(again);
    EXPECT_EQ(again, sample.score) << sample.name << " is not in normal form";
    Report report;
    written(sample.score, {}, &report);
    EXPECT_FALSE(report.has_losses()) << sample.name << ": " << report.entries().front().text;
  }
}

TEST(MusicXmlReport, ATimeTooLongIsAnErrorWithItsMeasure) {
  Score score = score_of("4/4", {"1", "1"});
  score.measures[1].strokes[0].duration = score.measures[1].length = INT64_MAX / 2;
  try {
    written(score);
    FAIL() << "nothing thrown";
  } catch (const WriteError& error) {
    EXPECT_EQ(error.place().measure, "2");
  }
}

// ---- compressed --------------------------------------------------------------------------------

std::string packed(const Score& score) {
  StringSink sink;
  write_mxl(score, {}, sink);
  return sink.str();
}

TEST(Mxl, HoldsMediaTypeContainerAndScore) {
  const Score score = testing::random_score(5);
  const std::string bytes = packed(score);
  // MusicXML 4.0, container.xsd: the first member is `mimetype`, not compressed, without an extra field.
  ASSERT_GT(bytes.size(), 70U);
  EXPECT_EQ(bytes.substr(0, 4), "PK\x03\x04");
  EXPECT_EQ(bytes.substr(8, 2), std::string(2, '\0'));   // method: stored
  EXPECT_EQ(bytes.substr(28, 2), std::string(2, '\0'));  // length of the extra field
  EXPECT_EQ(bytes.substr(30, 8), "mimetype");
  EXPECT_EQ(bytes.substr(38, 34), "application/vnd.recordare.musicxml");

  zip_error_t error;
  zip_source_t* source = zip_source_buffer_create(bytes.data(), bytes.size(), 0, &error);
  zip_t* archive = zip_open_from_source(source, ZIP_RDONLY | ZIP_CHECKCONS, &error);
  ASSERT_NE(archive, nullptr);
  EXPECT_EQ(zip_get_num_entries(archive, 0), 3);
  const auto member = [archive](const char* name) {
    zip_stat_t stat;
    if (zip_stat(archive, name, 0, &stat) != 0) return std::string("missing");
    std::string text(stat.size, '\0');
    zip_file_t* file = zip_fopen(archive, name, 0);
    EXPECT_EQ(zip_fread(file, text.data(), text.size()), static_cast<zip_int64_t>(text.size()));
    EXPECT_EQ(zip_fclose(file), 0);  // checks the CRC
    return text;
  };
  EXPECT_EQ(member("score.musicxml"), written(score));
  tinyxml2::XMLDocument container;
  ASSERT_EQ(container.Parse(member("META-INF/container.xml").c_str()), tinyxml2::XML_SUCCESS);
  EXPECT_STREQ(Tree::below(container.RootElement(), "rootfiles/rootfile")->Attribute("full-path"),
               "score.musicxml");
  zip_discard(archive);
}

TEST(Mxl, SameScoreSameBytes) {
  EXPECT_EQ(packed(testing::random_score(6)), packed(testing::random_score(6)));
}

TEST(Mxl, LargerThanOneBlock) {
  testing::RandomScoreOptions options;
  options.measures = 400;
  const Score score = testing::random_score(9, options);
  const std::string plain = written(score);
  ASSERT_GT(plain.size(), std::size_t{1} << 20);
  EXPECT_LT(packed(score).size(), plain.size() / 10);
}

TEST(Mxl, PassesOnWhatStopsTheWriting) {
  Score score = score_of("4/4", {"1"});
  score.measures[0].strokes[0].duration = score.measures[0].length = INT64_MAX / 2;
  EXPECT_THROW(packed(score), WriteError);
  StringSink sink;
  MusicXmlOptions options;
  options.encoding_date = "today";
  EXPECT_THROW(write_mxl(score_of("4/4", {"1"}), options, sink), UsageError);
  EXPECT_TRUE(sink.str().empty());
}

}  // namespace
}  // namespace fifthpeg
