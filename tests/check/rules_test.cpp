// For each rule a file that breaks it, at a known place, and a neighbor that looks like it and does not.
#include <algorithm>
#include <gtest/gtest.h>
#include <set>

#include "check/cases.hpp"
#include "check/sample.hpp"
#include "fifthpeg/check.hpp"

namespace {

using namespace check_test;
using fifthpeg::check_file;
using fifthpeg::Finding;

std::string told(const std::vector<Finding>& findings) {
  std::string text;
  for (const Finding& finding : findings) {
    text += "  " + finding.rule + ": " + to_string(finding.place) + ": " + finding.text + "\n";
  }
  return text;
}

// The place without its line and byte.
std::string where(const Finding& finding) {
  fifthpeg::Place place = finding.place;
  place.line = 0;
  place.byte = -1;
  std::string text = to_string(place);
  if (finding.string) text += (text.empty() ? "string " : ", string ") + std::to_string(*finding.string);
  return text;
}

bool has(const std::vector<Finding>& findings, const std::string& rule) {
  return std::any_of(findings.begin(), findings.end(), [&](const Finding& one) { return one.rule == rule; });
}

class CheckRule : public testing::TestWithParam<Case> {};

TEST_P(CheckRule, FiresAtItsPlaceAndNotBesideIt) {
  const Case& one = GetParam();
  const auto found = check_file(one.bad).findings;
  ASSERT_TRUE(has(found, one.rule)) << one.rule << " is silent; there are\n" << told(found);
  const auto first = std::find_if(found.begin(), found.end(),
                                  [&](const Finding& finding) { return finding.rule == one.rule; });
  EXPECT_EQ(first->place.line, one.line) << told(found);
  EXPECT_EQ(first->place.byte, one.byte) << told(found);
  EXPECT_EQ(where(*first), one.where) << told(found);
  EXPECT_EQ(first->severity, fifthpeg::find_rule(one.rule)->severity);
  EXPECT_FALSE(first->text.empty());
  EXPECT_FALSE(first->text.ends_with('.')) << first->text;
  // The place says the string; only what goes from one string to another names it again.
  if (first->string && one.rule != "technique-across-strings") {
    EXPECT_EQ(first->text.find("string " + std::to_string(*first->string)), std::string::npos) << first->text;
  }

  const auto beside = check_file(one.near).findings;
  EXPECT_FALSE(has(beside, one.rule)) << told(beside);

  // Silence holds for it, whoever asks.
  fifthpeg::CheckOptions options;
  options.skip = {one.rule};
  EXPECT_FALSE(has(check_file(one.bad, options).findings, one.rule));
  options.skip.clear();
  options.only = {one.rule};
  for (const Finding& finding : check_file(one.bad, options).findings) EXPECT_EQ(finding.rule, one.rule);
}

INSTANTIATE_TEST_SUITE_P(All, CheckRule, testing::ValuesIn(cases()), [](const auto& one) {
  std::string name = one.param.rule + "_" + std::to_string(one.index);
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
});

TEST(CheckRules, EachHasACase) {
  std::set<std::string> covered;
  for (const Case& one : cases()) covered.insert(one.rule);
  for (const fifthpeg::Rule& rule : fifthpeg::rules()) {
    EXPECT_TRUE(covered.contains(std::string(rule.slug))) << rule.slug << " has no case";
  }
}

TEST(CheckRules, TableIsInOrder) {
  std::set<std::string_view> slugs;
  auto family = fifthpeg::RuleFamily::midi_bytes;
  for (const fifthpeg::Rule& rule : fifthpeg::rules()) {
    EXPECT_TRUE(slugs.insert(rule.slug).second) << rule.slug;
    EXPECT_GE(rule.family, family) << rule.slug;
    family = rule.family;
    for (const std::string_view text : {rule.wrong, rule.fix}) {
      EXPECT_TRUE(text.ends_with('.')) << rule.slug << ": " << text;
      EXPECT_GT(text.size(), 6U) << rule.slug;
    }
    EXPECT_FALSE(rule.source.empty()) << rule.slug;
  }
}

TEST(CheckRules, CleanFilesAreClean) {
  EXPECT_EQ(told(check_file(handout).findings), "");
  EXPECT_EQ(told(check_file(clean_midi).findings), "");
}

}  // namespace
