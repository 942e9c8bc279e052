// Damaged files: each cut of each fixture, bytes knocked over, other encodings. There are findings with
// places instead of a bare refusal, and what stands before the damage is checked as in the whole file.
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <gtest/gtest.h>
#include <iterator>
#include <random>
#include <set>

#include "check/sample.hpp"
#include "fifthpeg/check.hpp"

namespace {

using namespace check_test;
using fifthpeg::check_file;
using fifthpeg::Checked;
using fifthpeg::Finding;
using fifthpeg::Severity;

std::string content_of(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

std::vector<std::filesystem::path> fixtures(const std::string& extension) {
  std::vector<std::filesystem::path> found;
  for (const auto& entry : std::filesystem::directory_iterator(FIXTURES)) {
    if (entry.path().extension() == extension) found.push_back(entry.path());
  }
  std::sort(found.begin(), found.end());
  return found;
}

const Finding* first_error(const Checked& checked) {
  const bool any = !checked.findings.empty() && checked.findings.front().severity == Severity::error;
  return any ? &checked.findings.front() : nullptr;
}

// What may be told of a cut file: that it is cut, at a place inside it.
void cut_is_told(const std::string& whole, std::size_t length, bool binary) {
  const std::string part = whole.substr(0, length);
  const Checked checked = check_file(part);
  const Finding* error = first_error(checked);
  ASSERT_NE(error, nullptr);
  // Between two tracks of MIDI all that is there is whole, and too little for what the header states.
  if (checked.readable) {
    EXPECT_EQ(error->rule, "midi-track-count");
  }
  if (length < 4) return;  // not even its kind is known
  if (binary) {
    EXPECT_GE(error->place.byte, 0) << error->text;
    EXPECT_LE(error->place.byte, static_cast<std::int64_t>(length)) << error->text;
  } else {
    const auto lines = 1 + std::count(part.begin(), part.end(), '\n');
    EXPECT_GE(error->place.line, 1) << error->text;
    EXPECT_LE(error->place.line, lines) << error->text;
  }
}

TEST(CheckDamage, EveryCutOfAMidiFileNamesItsByte) {
  for (const auto& path : fixtures(".mid")) {
    const std::string whole = content_of(path);
    for (std::size_t length = 0; length < whole.size(); ++length) {
      SCOPED_TRACE(path.filename().string() + " cut at " + std::to_string(length));
      cut_is_told(whole, length, true);
    }
  }
}

TEST(CheckDamage, EveryCutOfMusicXmlNamesItsLine) {
  for (const auto& path : fixtures(".musicxml")) {
    std::string whole = content_of(path);
    whole.resize(whole.find_last_not_of('\n') + 1);  // a line end that is lost is no damage
    const std::size_t step = whole.size() < 8000 ? 1 : 7;
    for (std::size_t length = 0; length < whole.size(); length += step) {
      SCOPED_TRACE(path.filename().string() + " cut at " + std::to_string(length));
      cut_is_told(whole, length, false);
    }
  }
}

TEST(CheckDamage, EveryCutOfAnArchiveIsToldAndRead) {
  for (const auto& path : fixtures(".mxl")) {
    const std::string whole = content_of(path);
    for (std::size_t length = 0; length < whole.size(); ++length) {
      SCOPED_TRACE(path.filename().string() + " cut at " + std::to_string(length));
      const Checked checked = check_file(whole.substr(0, length));
      EXPECT_FALSE(checked.readable);
      EXPECT_NE(first_error(checked), nullptr);
    }
  }
}

TEST(CheckDamage, WhatStandsBeforeACutIsCheckedAsInTheWholeFile) {
  const std::string bad =
      changed(handout, {{"<string>3</string><fret>0</fret><pluck>T</pluck><hammer-on",
                         "<string>3</string><fret>4</fret><pluck>T</pluck><hammer-on"},
                        {"<string>4</string><fret>4</fret>", "<string>4</string><fret>5</fret>"}});
  const auto key = [](const Finding& one) { return std::pair(one.rule, one.place.line); };
  std::set<std::pair<std::string, std::int64_t>> all;
  for (const Finding& one : check_file(bad).findings) all.insert(key(one));
  ASSERT_TRUE(all.contains({"technique-hammer-on-down", line_of(bad, "<!--b-->")}));
  ASSERT_TRUE(all.contains({"tab-fret-contradicts-pitch", line_of(bad, "<!--f-->")}));
  for (std::size_t length = bad.find("<part id"); length < bad.rfind("</score-partwise>"); length += 3) {
    SCOPED_TRACE(length);
    std::set<std::pair<std::string, std::int64_t>> some;
    for (const Finding& one : check_file(bad.substr(0, length)).findings) {
      some.insert(key(one));
      if (!one.rule.starts_with("grammar-")) {
        EXPECT_TRUE(all.contains(key(one))) << one.rule << ": " << one.text;
      }
    }
    // A measure is looked at once it is there whole.
    if (length > bad.find("<measure number=\"2\">")) {
      EXPECT_TRUE(some.contains({"technique-hammer-on-down", line_of(bad, "<!--b-->")}));
    }
    if (length > bad.find("<measure number=\"3\">")) {
      EXPECT_TRUE(some.contains({"tab-fret-contradicts-pitch", line_of(bad, "<!--f-->")}));
    }
  }
}

TEST(CheckDamage, WhatStandsBeforeACutOfMidiIsChecked) {
  const std::string stray = bytes({0, 0x80, 40, 0});
  const std::string whole = midi(midi_head + stray + midi_notes + midi_end);
  const std::size_t behind = whole.find(midi_notes);
  for (std::size_t length = behind; length < whole.size(); ++length) {
    SCOPED_TRACE(length);
    const Checked checked = check_file(whole.substr(0, length));
    EXPECT_TRUE(std::any_of(checked.findings.begin(), checked.findings.end(),
                            [](const Finding& one) { return one.rule == "midi-stray-note-off"; }));
    EXPECT_EQ(checked.findings.front().rule, "midi-cut-off");
    EXPECT_EQ(checked.findings.front().place.byte, static_cast<std::int64_t>(length));
  }
}

TEST(CheckDamage, BytesKnockedOver) {
  std::mt19937 random(11);
  for (const char* extension : {".mid", ".musicxml", ".mxl"}) {
    for (const auto& path : fixtures(extension)) {
      const std::string whole = content_of(path);
      for (int i = 0; i < 300; ++i) {
        std::string damaged = whole;
        for (auto count = 1 + random() % 8; count-- > 0;)
          damaged[random() % damaged.size()] = static_cast<char>(random() & 0xFFU);
        SCOPED_TRACE(path.filename().string() + " trial " + std::to_string(i));
        const Checked checked = check_file(damaged);
        if (!checked.readable) {
          EXPECT_NE(first_error(checked), nullptr);
        }
        for (const Finding& one : checked.findings) {
          EXPECT_LE(one.place.byte, static_cast<std::int64_t>(damaged.size())) << one.rule;
        }
      }
    }
  }
}

std::string utf16(const std::string& ascii, bool big) {
  std::string text = big ? "\xFE\xFF" : "\xFF\xFE";
  for (const char c : ascii) {
    if (big) text += '\0';
    text += c;
    if (!big) text += '\0';
  }
  return text;
}

TEST(CheckDamage, OtherEncodingsHaveTheSameFindings) {
  const std::string bad =
      changed(handout, {{"<string>4</string><fret>4</fret>", "<string>4</string><fret>5</fret>"}});
  const std::vector<Finding> expected = check_file(bad).findings;
  ASSERT_EQ(expected.size(), 1U);
  for (const bool big : {false, true}) {
    const std::string text = utf16(changed(bad, {{"UTF-8", "UTF-16"}}), big);
    EXPECT_EQ(check_file(text).findings, expected);
    for (std::size_t length = 4; length < text.size() - 2; length += 97) {
      const Checked cut = check_file(text.substr(0, length));
      EXPECT_FALSE(cut.readable) << length;
      EXPECT_NE(first_error(cut), nullptr) << length;
    }
  }
  EXPECT_EQ(check_file(changed(bad, {{"UTF-8", "ISO-8859-1"}})).findings, expected);
}

}  // namespace
