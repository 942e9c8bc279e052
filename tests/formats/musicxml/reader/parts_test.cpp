// Which parts a file has, and which is read.
#include <gtest/gtest.h>

#include "formats/musicxml/reader/support.hpp"

namespace fifthpeg {
namespace {

using namespace testing;

struct PartText {
  std::string name;
  std::string description;  // after part-name
  std::string music;
  std::string attributes = std::string(usual_attributes);
};

std::string score_of(const std::vector<PartText>& parts) {
  std::string list = "<part-list>";
  std::string music;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const std::string id = "P" + std::to_string(i + 1);
    list += "<score-part id=\"" + id + "\"><part-name>" + parts[i].name + "</part-name>" +
            parts[i].description + "</score-part>";
    music += "<part id=\"" + id + "\">" + measure(parts[i].music, "1", parts[i].attributes) + "</part>";
  }
  return document(music, list + "</part-list>");
}
std::string program(int number, int channel = 1) {
  return "<midi-instrument id=\"I\"><midi-channel>" + std::to_string(channel) +
         "</midi-channel><midi-program>" + std::to_string(number) + "</midi-program></midi-instrument>";
}
std::string instrument(std::string_view name, std::string_view sound) {
  return "<score-instrument id=\"I\"><instrument-name>" + std::string(name) +
         "</instrument-name><instrument-sound>" + std::string(sound) +
         "</instrument-sound></score-instrument>";
}

TEST(MusicXmlParts, Inventory) {
  const Reading reading = read_sound(score_of(
      {{"Fiddle", instrument("Violin", "strings.violin") + program(41, 2), note("G4", 4) + note("A5", 4)},
       {"Drums", program(1, 10), "<note><unpitched/><duration>8</duration></note>"}}));
  ASSERT_EQ(reading.inventory.parts.size(), 2U);
  const PartSummary expected{"P1", "Fiddle", "Violin", 41, 2, false, 2, 67, 81};
  EXPECT_EQ(reading.inventory.parts[0], expected);
  EXPECT_TRUE(reading.inventory.parts[1].percussion);
  EXPECT_EQ(reading.inventory.parts[1].notes, 0U);
  EXPECT_EQ(reading.inventory.chosen, 0U);
  EXPECT_EQ(told(reading.report, "musicxml-part", EntryKind::decision), 1U);
}

TEST(MusicXmlParts, TheBanjoByNameSoundProgramAndStrings) {
  const PartText fiddle{"Fiddle", program(41), note("G4", 4) + note("A5", 4)};
  const std::string music = note("D4", 8);
  EXPECT_EQ(read_sound(score_of({fiddle, {"5-string BANJO", "", music}})).inventory.chosen, 1U);
  EXPECT_EQ(
      read_sound(score_of({fiddle, {"Part 2", instrument("x", "pluck.banjo"), music}})).inventory.chosen, 1U);
  EXPECT_EQ(read_sound(score_of({fiddle, {"Part 2", program(106), music}})).inventory.chosen, 1U);
  std::string tuned(usual_attributes);
  tuned.insert(tuned.size() - 13, open_g_details());
  const Reading strings = read_sound(score_of({fiddle, {"Guitar", program(26), music, tuned}}));
  EXPECT_EQ(strings.inventory.chosen, 1U);
  EXPECT_NE(strings.inventory.reason.find("five strings"), std::string::npos);
}

TEST(MusicXmlParts, TheBanjoBeforeItsBackup) {
  const PartText tune{"Banjo", "", note("D4", 8)};
  const PartText backup{"Banjo backup", "", note("D4", 2) + note("G3", 2) + note("D4", 2) + note("G3", 2)};
  EXPECT_EQ(read_sound(score_of({tune, backup})).inventory.chosen, 0U);
  EXPECT_EQ(read_sound(score_of({backup, tune})).inventory.chosen, 1U);
  EXPECT_EQ(read_sound(score_of({{"Fiddle", "", note("D5", 8)}, backup})).inventory.chosen, 1U);
}

TEST(MusicXmlParts, TheTuneWhereThereIsNoBanjo) {
  const std::string low = note("G2", 4) + note("D3", 4);
  const std::string high = note("G4", 4) + note("D5", 4);
  const std::string higher = note("G6", 4) + note("D6", 4);
  EXPECT_EQ(read_sound(score_of({{"Bass", "", low}, {"Piano", "", high}})).inventory.chosen, 1U);
  EXPECT_EQ(read_sound(score_of({{"Bells", "", higher}, {"Melody", "", high}})).inventory.chosen, 1U);
  std::string sung = high;
  sung.insert(sung.find("</note>"), "<lyric><text>la</text></lyric>");
  EXPECT_EQ(read_sound(score_of({{"Bells", "", higher}, {"Choir", "", sung}})).inventory.chosen, 1U);
  // Never percussion, whatever it is called.
  EXPECT_EQ(
      read_sound(score_of({{"Banjo drums", program(1, 10), higher}, {"Bass", "", low}})).inventory.chosen,
      1U);
}

TEST(MusicXmlParts, AskedForByNameNumberOrId) {
  const std::string text =
      score_of({{"Bass", "", note("G2", 8)}, {"Fiddle", "", note("G4", 8)}, {"3", "", note("A4", 8)}});
  const auto chosen = [&](std::string_view wanted) {
    ReadOptions options;
    options.part = wanted;
    return read_sound(text, options).inventory.chosen;
  };
  EXPECT_EQ(chosen("bass"), 0U);
  EXPECT_EQ(chosen(" FIDDLE "), 1U);
  EXPECT_EQ(chosen("2"), 1U);
  EXPECT_EQ(chosen("P1"), 0U);
  EXPECT_EQ(chosen("3"), 2U);
  EXPECT_THROW(chosen("Tuba"), UsageError);
  EXPECT_THROW(chosen("4"), UsageError);
  EXPECT_THROW(chosen("0"), UsageError);
}

TEST(MusicXmlParts, TheChoiceIsToldAndNamesTheOther) {
  const std::string text = score_of({{"Banjo", "", note("D4", 8)}, {"Banjo backup", "", note("G3", 8)}});
  const Report report = read_sound(text).report;
  ASSERT_EQ(told(report, "musicxml-part"), 1U);
  EXPECT_EQ(report.entries().front().text,
            "part 1 of 2 (Banjo) was read: its name says banjo; the other is Banjo backup");
  ReadOptions options;
  options.part = "Banjo backup";
  EXPECT_EQ(told(read_sound(text, options).report, "musicxml-part"), 0U) << "it was asked for";
}

TEST(MusicXmlParts, ChordSymbolsOfOtherParts) {
  const std::string harmony = "<harmony><root><root-step>G</root-step></root><kind>major</kind></harmony>";
  const std::string later = "<harmony><root><root-step>D</root-step></root><kind>major</kind></harmony>";
  const std::string text = score_of({{"Guitar", "", harmony + note("G3", 4) + later + note("D3", 4)},
                                     {"Banjo", "", harmony + note("D4", 8)}});
  EXPECT_EQ(read_sound(text).score.measures[0].chords.size(), 1U);
  ReadOptions options;
  options.all_parts = true;
  const Reading all = read_sound(text, options);
  ASSERT_EQ(all.score.measures[0].chords.size(), 2U);
  EXPECT_EQ(to_string(all.score.measures[0].chords[1]), "D");
  EXPECT_EQ(all.score.measures[0].chords[1].at, Fraction(1, 2));
}

}  // namespace
}  // namespace fifthpeg
