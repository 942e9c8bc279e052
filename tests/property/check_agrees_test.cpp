// Whatever is done to a file: what reading it for a conversion repairs the check finds, and what cannot be
// read the check does not call readable.
#include <algorithm>
#include <gtest/gtest.h>
#include <random>
#include <string>
#include <vector>

#include "check/sample.hpp"
#include "fifthpeg/check.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/read.hpp"
#include "tried.hpp"

namespace {

using namespace check_test;
using fifthpeg::Checked;
using fifthpeg::Entry;
using fifthpeg::Finding;
using fifthpeg::Place;

// One slip: an element lost, doubled or moved, a number or a word changed, an attribute lost.
std::string slipped(std::string text, std::mt19937& random) {
  const auto any = [&random](std::size_t count) { return random() % count; };
  const std::size_t music = text.find("<part id");
  std::vector<std::size_t> tags;
  for (std::size_t at = text.find('<', music); at != std::string::npos; at = text.find('<', at + 1)) {
    if (text[at + 1] != '/' && text[at + 1] != '!') tags.push_back(at);
  }
  const auto end_of = [&text](std::size_t at) {
    const std::size_t tag_end = text.find('>', at);
    if (text[tag_end - 1] == '/') return tag_end + 1;
    const std::string name = text.substr(at + 1, text.find_first_of(" >", at) - at - 1);
    const std::string close = "</" + name + ">";
    const std::size_t closed = text.find(close, at);
    return closed == std::string::npos ? tag_end + 1 : closed + close.size();
  };
  if (tags.empty()) return text;
  const std::size_t at = tags[any(tags.size())];
  const std::size_t end = end_of(at);
  const std::string element = text.substr(at, end - at);
  static const std::vector<std::string> words{"0",    "1",     "2",    "3", "-1", "7",      "30", "half",
                                              "16th", "start", "stop", "x", "",   "900000", "1.5"};
  switch (any(20)) {
    case 4:  // what makes it XML
      return text.erase(at, 1);
    case 0:
    case 1:
    case 2:
    case 3:
      return text.erase(at, element.size());
    case 5:
    case 6:
    case 7:
      return text.insert(at, element);
    case 8:
    case 9:
    case 10: {  // to another place
      text.erase(at, element.size());
      return text.insert(text.find('<', music + any(text.rfind('<') - music)), element);
    }
    default: {
      const std::size_t from = text.find('>', at) + 1;
      const std::size_t to = text.find('<', from);
      const std::size_t quote = text.find('"', at);
      if (to == std::string::npos) return text;
      if (quote < from && any(2) == 0)
        return text.replace(quote + 1, text.find('"', quote + 1) - quote - 1, words[any(words.size())]);
      return text.replace(from, to - from, words[any(words.size())]);
    }
  }
}

// What is said once for all the places of a part.
bool speaks_of_many(const Finding& one) {
  static const std::vector<std::string> rules{
      "tab-all-pitches-off",       "tab-string-off",   "tab-no-tuning", "tab-fifth-own-nut",
      "tab-fifth-numbering-mixed", "time-no-divisions"};
  return one.place.line == 0 || std::find(rules.begin(), rules.end(), one.rule) != rules.end();
}

bool finds(const Checked& checked, const Place& place) {
  return std::any_of(checked.findings.begin(), checked.findings.end(), [&](const Finding& one) {
    return speaks_of_many(one) || place.line == 0 || one.place.line == place.line ||
           one.place.measure == place.measure;
  });
}

std::vector<std::string> files() {
  const std::string pickup = [] {
    const std::size_t a = handout.find("<note><!--a-->");
    std::string text = handout;
    text.erase(a, handout.find("<note><!--d-->") - a);
    return changed(text, {{"<measure number=\"1\">", "<measure number=\"1\" implicit=\"yes\">"}});
  }();
  return {handout, pickup};
}

TEST(CheckProperty, FindsWhatReadingRepairsAndRefuses) {
  std::mt19937 random(17);
  int repaired = 0, refused = 0, read = 0;
  for (const std::string& file : files()) {
    for (int i = 0; i < fifthpeg::testing::tried(1500); ++i) {
      std::string mutant = slipped(file, random);
      if (random() % 4 == 0) mutant = slipped(mutant, random);
      const Checked checked = fifthpeg::check_file(mutant);
      SCOPED_TRACE(i);
      try {
        const fifthpeg::Reading reading = fifthpeg::read(mutant);
        ++read;
        EXPECT_TRUE(checked.readable);
        for (const Entry& entry : reading.report.entries()) {
          if (entry.kind != fifthpeg::EntryKind::repair) continue;
          ++repaired;
          for (const Place& place : entry.places) EXPECT_TRUE(finds(checked, place)) << entry.text;
        }
      } catch (const fifthpeg::ReadError& error) {
        ++refused;
        EXPECT_FALSE(checked.readable) << error.what();
        EXPECT_GT(checked.count(fifthpeg::Severity::error), 0U) << error.what();
      }
      ASSERT_FALSE(HasFailure()) << mutant;
    }
  }
  EXPECT_GT(read, fifthpeg::testing::tried(2000));
  EXPECT_GT(repaired, fifthpeg::testing::tried(500));
  EXPECT_GT(refused, fifthpeg::testing::tried(20));
}

}  // namespace
