// What fix() leaves as it is: any file that reads, however its markup is written, reads after it and sounds
// the same, and a second run has nothing to do.
#include <algorithm>
#include <cstdint>
#include <gtest/gtest.h>
#include <random>
#include <string>
#include <tuple>
#include <vector>

#include "check/sample.hpp"
#include "fifthpeg/check.hpp"
#include "fifthpeg/performance.hpp"
#include "fifthpeg/read.hpp"
#include "tried.hpp"

namespace {

using namespace check_test;

using Random = std::mt19937;

bool one_in(Random& random, unsigned many) {
  return random() % many == 0;
}

using Heard = std::vector<std::tuple<fifthpeg::Fraction, fifthpeg::Fraction, int>>;

// What sounds, note for note, in lengths of the first: where nothing states divisions, all times are a guess.
Heard heard(const std::string& file) {
  Heard heard;
  const auto notes = fifthpeg::perform(fifthpeg::read(file).score).notes;
  for (const auto& note : notes) {
    const fifthpeg::Fraction unit(notes.front().end - notes.front().start);
    heard.emplace_back(fifthpeg::Fraction(note.start) / unit, fifthpeg::Fraction(note.end) / unit, note.midi);
  }
  return heard;
}

void is_fixed(const std::string& file) {
  const fifthpeg::FixResult fixed = fifthpeg::fix(file);
  EXPECT_EQ(heard(fixed.bytes), heard(file)) << file;
  const fifthpeg::FixResult again = fifthpeg::fix(fixed.bytes);
  EXPECT_EQ(again.bytes, fixed.bytes) << file;
  EXPECT_TRUE(again.fixes.empty());
}

// ---- MusicXML ----

void drop(std::string& text, const std::string& piece, Random& random) {
  for (std::size_t at = text.find(piece); at != std::string::npos; at = text.find(piece, at + 1)) {
    if (one_in(random, 3)) text.erase(at, piece.size());
  }
}

void replace(std::string& text, const std::string& piece, const std::string& other) {
  const std::size_t at = text.find(piece);
  if (at != std::string::npos) text.replace(at, piece.size(), other);
}

std::string broken_handout(Random& random) {
  std::string text = handout;
  if (one_in(random, 4)) {  // a pickup
    const std::size_t from = text.find("<note><!--a-->");
    text.erase(from, text.find("<note><!--c-->") - from);
    if (one_in(random, 2)) replace(text, "<measure number=\"1\">", "<measure number=\"1\" implicit = 'no'>");
  }
  if (one_in(random, 5)) replace(text, "<divisions>6</divisions>", "");
  if (one_in(random, 3))
    replace(text, "<string>5</string><fret>7</fret>", "<string>5</string><fret>2</fret>");
  if (one_in(random, 4)) {
    const std::size_t tuning = text.find("<staff-tuning line=\"1\">");
    text.erase(tuning, text.find("</staff-details>") - tuning);
  }
  for (const char* piece : {"<tie type=\"start\"/>", "<tie type=\"stop\"/>", "<tied type=\"start\"/>",
                            "<tied type=\"stop\"/>", "<tuplet type=\"stop\"/>", "<type>quarter</type>"}) {
    if (one_in(random, 2)) drop(text, piece, random);
  }
  // A tie that leads nowhere, and one before the same pitch: struck twice, it is two notes.
  for (const char* note : {"<!--d-->", "<!--i-->", "<!--m-->"}) {
    if (!one_in(random, 4)) continue;
    const std::size_t at = text.find("<voice>", text.find(note));
    text.insert(at, one_in(random, 2) ? "<tie type=\"start\"/>" : "<tie type=\"stop\"/>");
  }
  return text;
}

// The same, as other programs might write it: comments, instructions to programs, CDATA.
std::string written_otherwise(std::string text, Random& random) {
  const std::vector<std::string> between{"<!-- <note><string>5</string> -->", "<?another program?>", "\r\n  ",
                                         "<!-- 5 -->"};
  for (std::size_t at = text.find("><", text.find("<part id")); at != std::string::npos;
       at = text.find("><", at + 1)) {
    if (!one_in(random, 12)) continue;
    const std::string& piece = between[random() % between.size()];
    text.insert(at + 1, piece);
    at += piece.size();
  }
  for (std::size_t at = text.find("<fret>"); at != std::string::npos; at = text.find("<fret>", at + 1)) {
    const std::size_t from = at + 6;
    const std::size_t length = text.find('<', from) - from;
    const std::string number = text.substr(from, length);
    const std::vector<std::string> forms{number, "<!-- 5 -->" + number, number + "<!-- 5 -->",
                                         "<![CDATA[" + number + "]]>", " " + number + "\n"};
    text.replace(from, length, forms[random() % forms.size()]);
  }
  return text;
}

TEST(FixProperty, MusicXmlSoundsTheSame) {
  Random random(5);
  int fixed = 0;
  for (int i = 0; i < fifthpeg::testing::tried(1500); ++i) {
    SCOPED_TRACE(i);
    const std::string file = written_otherwise(broken_handout(random), random);
    is_fixed(file);
    fixed += fifthpeg::fix(file).fixes.empty() ? 0 : 1;
    if (HasFailure()) return;
  }
  EXPECT_GT(fixed, fifthpeg::testing::tried(1000));
}

// ---- MIDI ----

std::string little_endian(std::size_t number) {
  std::string text;
  for (int i = 0; i < 4; ++i, number /= 256) text += static_cast<char>(number % 256);
  return text;
}

std::string riff(const std::string& music, Random& random) {
  const std::string note = "LIST" + little_endian(4) + "INFO";
  const std::string data = "data" + little_endian(music.size()) + music + std::string(music.size() % 2, '\0');
  const std::string body = "RMID" + (one_in(random, 2) ? note : "") + data + (one_in(random, 2) ? note : "");
  return "RIFF" + little_endian(body.size()) + body;
}

std::size_t number_at(const std::string& text, std::size_t at) {
  std::size_t number = 0;
  for (std::size_t i = 4; i-- > 0;) number = number * 256 + static_cast<unsigned char>(text[at + i]);
  return number;
}

TEST(FixProperty, MidiSoundsTheSame) {
  Random random(6);
  for (int i = 0; i < 500; ++i) {
    SCOPED_TRACE(i);
    const auto tracks = static_cast<int>(1 + random() % 4);
    std::string music = chunk("MThd", bytes({0, 1, 0, tracks, 0, 96}));
    int without_end = 0;
    for (int track = 0; track < tracks; ++track) {
      const bool ends = one_in(random, 2);
      without_end += ends ? 0 : 1;
      music +=
          chunk("MTrk", (track == 0 ? midi_head : "") + (track == 0 || one_in(random, 2) ? midi_notes : "") +
                            (ends ? midi_end : ""));
    }
    const bool wrapped = one_in(random, 2);
    const std::string file = wrapped ? riff(music, random) : music;
    is_fixed(file);
    const fifthpeg::FixResult fixed = fifthpeg::fix(file);
    EXPECT_EQ(fixed.fixes.size(), static_cast<std::size_t>(without_end));
    if (wrapped) {
      EXPECT_EQ(number_at(fixed.bytes, 4), fixed.bytes.size() - 8);
      const std::size_t data = fixed.bytes.find("data");
      const std::size_t added = 4 * static_cast<std::size_t>(without_end);
      EXPECT_EQ(number_at(fixed.bytes, data + 4), music.size() + added);
    }
    if (HasFailure()) return;
  }
}

}  // namespace
