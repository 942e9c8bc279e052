// Tab as people write it, in as many manners as there are files in manners/: beside each text stands what it
// is to be read as, written by hand.
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <gtest/gtest.h>
#include <iterator>
#include <set>
#include <string>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/read.hpp"
#include "fifthpeg/write.hpp"
#include "roundtrip/score_difference.hpp"

namespace fifthpeg::testing {
namespace {

namespace fs = std::filesystem;

std::string bytes_of(const fs::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

std::string technique_letter(Technique technique) {
  constexpr std::string_view letters = "-hps^";
  return std::string(1, letters.at(static_cast<std::size_t>(technique)));
}

std::string listed(const Note& note) {
  std::string text = note.placement
                         ? std::to_string(note.placement->string) + ":" + std::to_string(note.placement->fret)
                         : to_string(note.pitch);
  if (note.into != Technique::none) text += " " + technique_letter(note.into);
  if (note.out_of != Technique::none) text += " out-" + technique_letter(note.out_of);
  if (note.harmonic) text += " <>";
  if (note.dead) text += " X";
  if (note.tied_from_previous) text += " tied";
  if (note.choke) text += " b" + std::to_string(note.choke->cents) + (note.choke->release ? "r" : "");
  if (note.ring == Ring::damp) text += " x";
  if (note.ring == Ring::let_ring) text += " ~";
  return text;
}

std::string listed(const Measure& measure) {
  std::string text = measure.number + " " + to_string(measure.meter);
  if (measure.implicit) text += " pickup";
  if (measure.repeat_starts) text += " starts";
  if (measure.ending) text += " ending-" + std::to_string(measure.ending->numbers.front());
  if (measure.repeat_times > 0) text += " ends-" + std::to_string(measure.repeat_times);
  if (measure.right_bar != BarStyle::regular) text += " double";
  std::string between = ": ";
  for (const ChordSymbol& chord : measure.chords) {
    text += between + "chord " + to_string(chord) + " at " + to_string(chord.at);
    between = ", ";
  }
  for (const Stroke& stroke : measure.strokes) {
    text += between + (stroke.grace != Grace::none ? "grace " : "") + to_string(stroke.onset) + " ";
    between = ", ";
    if (stroke.is_rest()) text += "rest";
    for (const Note& note : stroke.notes) text += (&note == stroke.notes.data() ? "" : "+") + listed(note);
    if (!stroke.tuplets.empty()) text += " triplet";
  }
  return text + "\n";
}

std::string listed(const Reading& reading) {
  const Score& score = reading.score;
  std::string text;
  if (!score.work.title.empty()) text += "title " + score.work.title + "\n";
  text += "banjo " + to_string(score.banjo.tuning);
  if (score.banjo.capo > 0)
    text += " capo " + std::to_string(score.banjo.capo) + " fifth " + std::to_string(score.banjo.fifth_capo);
  text += "\n";
  for (const Measure& measure : score.measures) text += listed(measure);
  std::set<std::string> slugs;
  for (const Entry& entry : reading.report.entries()) slugs.insert(entry.slug);
  text += "told";
  for (const std::string& slug : slugs) text += " " + slug;
  return text + "\n";
}

TEST(TextTabManners, AreReadAsTheyAreMeant) {
  int read_files = 0;
  for (const fs::directory_entry& entry :
       fs::directory_iterator(FIXTURES "/../tests/formats/text_tab/manners")) {
    if (entry.path().extension() != ".txt") continue;
    SCOPED_TRACE(entry.path().filename());
    ++read_files;
    const std::string bytes = bytes_of(entry.path());
    fs::path expected = entry.path();
    expected.replace_extension(".expected");
    try {
      const Reading reading = read(bytes);
      EXPECT_TRUE(flaws(reading.score).empty());
      EXPECT_EQ(listed(reading), bytes_of(expected)) << bytes << to_text(reading.report);
    } catch (const Error& error) {
      ADD_FAILURE() << to_string(error.place()) << ": " << error.what() << "\n" << bytes;
    }
  }
  EXPECT_GE(read_files, 12);
}

// What is read goes on to the hands and into a file, as it does in the program.
TEST(TextTabManners, GoOnToMusicXmlAndBack) {
  for (const fs::directory_entry& entry :
       fs::directory_iterator(FIXTURES "/../tests/formats/text_tab/manners")) {
    if (entry.path().extension() != ".txt") continue;
    SCOPED_TRACE(entry.path().filename());
    for (const Refinger refinger : {Refinger::missing, Refinger::all}) {
      Score score = read(bytes_of(entry.path())).score;
      HandsOptions hands;
      hands.refinger = refinger;
      finger(score, hands);
      StringSink sink;
      write_musicxml(score, {}, sink);
      EXPECT_EQ(difference(score, read(sink.str()).score), "");
    }
  }
}

}  // namespace
}  // namespace fifthpeg::testing
