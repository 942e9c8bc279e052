#include "cli/findings_text.hpp"

#include <algorithm>
#include <map>
#include <string_view>
#include <vector>

#include "base/text.hpp"
#include "cli/hints.hpp"

namespace fifthpeg::cli {
namespace {

std::string counts(std::uint64_t errors, std::uint64_t warnings, std::uint64_t notes) {
  return base::counted(errors, "error") + ", " + base::counted(warnings, "warning") + ", " +
         base::counted(notes, "note");
}

// Of one rule so many are listed one by one; more than that are summed up by measure, in one line.
constexpr std::size_t most_of_a_rule = 8;

// "and 12 more, in measures 3, 4 and 7".
std::string folded(const std::vector<const Finding*>& findings) {
  std::vector<std::string_view> measures;
  for (const Finding* finding : findings) {
    const std::string_view measure = finding->place.measure;
    if (!measure.empty() && (measures.empty() || measures.back() != measure)) measures.push_back(measure);
  }
  std::string text = "and " + std::to_string(findings.size()) + " more";
  constexpr std::size_t most_measures = 24;
  const std::size_t shown = std::min(measures.size(), most_measures);
  for (std::size_t i = 0; i < shown; ++i) {
    const bool last = i > 0 && i + 1 == measures.size();
    text += i == 0 ? (measures.size() == 1 ? ", in measure " : ", in measures ") : last ? " and " : ", ";
    text += printable(measures[i]);
  }
  if (measures.size() > shown) text += " and others";
  return text + "; --all lists them\n";
}

// "fixed 2 of 5 findings in out.musicxml", and what is left to do; or why nothing was written.
std::string fixed_text(const CheckedFile& file) {
  const std::uint64_t before = file.fixed->before;
  const std::uint64_t left = file.checked.findings.size() + file.checked.left_out;
  const std::string output = printable(output_name(file.fixed->output));
  const std::string decide =
      left == 1 ? "1 finding needs your decision" : std::to_string(left) + " findings need your decision";
  if (file.fixes.empty()) {
    return (before == 0 ? "  nothing to fix"
                        : "  nothing could be fixed, since no finding has one right answer; " + decide) +
           "; nothing was written to " + output + "\n";
  }
  if (left == 0) return "  fixed all findings (" + std::to_string(before) + ") in " + output + "\n";
  // One fix may bring other findings to light.
  const std::string fixed =
      left >= before
          ? "made " + std::to_string(file.fixes.size()) + (file.fixes.size() == 1 ? " fix" : " fixes")
          : "fixed " + std::to_string(before - left) + " of " + base::counted(before, "finding");
  return "  " + fixed + " in " + output + "; " + decide + "\n";
}

}  // namespace

void CheckTotals::add(const CheckedFile& file) {
  ++files;
  errors += file.checked.count(Severity::error);
  warnings += file.checked.count(Severity::warning);
  notes += file.checked.count(Severity::note);
  if (file.failure || !file.checked.readable) ++unreadable;
}

std::string place_text(const Finding& finding) {
  std::string text = to_string(finding.place);
  if (finding.string) {
    if (!text.empty()) text += ", ";
    text += "string " + std::to_string(*finding.string);
  }
  return text;
}

std::string findings_text(const CheckedFile& file, bool all) {
  const Checked& checked = file.checked;
  const bool says_something = !checked.findings.empty() || !checked.silenced.empty() || file.fixed;
  if (file.failure || (!says_something && checked.readable)) return {};
  std::string text = printable(input_name(file.input)) + "\n";
  // What is found may all come of that.
  if (!checked.readable && !checked.format.empty()) text += "  could not be read to its end\n";
  for (const Fix& fix : file.fixes) {
    const std::string place = to_string(fix.place);
    text += "  fixed: " + (place.empty() ? place : printable(place) + ": ") + printable(fix.text) + " [" +
            fix.rule + "]\n";
  }
  struct OfARule {
    std::vector<const Finding*> findings;
    std::size_t met = 0;
  };
  std::map<std::string_view, OfARule> by_rule;
  for (const Finding& finding : checked.findings) by_rule[finding.rule].findings.push_back(&finding);
  for (const Finding& finding : checked.findings) {
    OfARule& of_a_rule = by_rule[finding.rule];
    const std::vector<const Finding*>& same = of_a_rule.findings;
    const std::size_t at = of_a_rule.met++;
    const bool folds = !all && same.size() > most_of_a_rule + 1;
    if (folds && at >= most_of_a_rule) continue;
    const std::string place = place_text(finding);
    text += "  " + std::string(slug(finding.severity)) + ": ";
    if (!place.empty()) text += printable(place) + ": ";
    text += printable(finding.text) + " [" + finding.rule + "]\n";
    const Rule* rule = find_rule(finding.rule);
    if (at == 0 && rule != nullptr) text += "      " + with_hint(*rule) + "\n";
    if (folds && at + 1 == most_of_a_rule)
      text += "      " + folded({same.begin() + static_cast<std::ptrdiff_t>(most_of_a_rule), same.end()});
  }
  if (checked.left_out > 0) text += "  and " + std::to_string(checked.left_out) + " more\n";
  if (!checked.silenced.empty()) {
    text += "  rules turned off by the file:";
    for (const std::string& name : checked.silenced) text += " " + printable(name);
    text += "\n";
  }
  if (file.fixed) text += fixed_text(file);
  text += "  " +
          counts(checked.count(Severity::error), checked.count(Severity::warning),
                 checked.count(Severity::note)) +
          "\n";
  return text;
}

std::string totals_text(const CheckTotals& totals) {
  std::string text =
      base::counted(totals.files, "file") + ": " + counts(totals.errors, totals.warnings, totals.notes);
  if (totals.unreadable > 0) text += "; " + base::counted(totals.unreadable, "file") + " not read completely";
  return text + "\n";
}

std::string rules_text() {
  std::string text;
  std::string_view family;
  for (const Rule& rule : rules()) {
    if (slug(rule.family) != family) {
      if (!family.empty()) text += "\n";
      family = slug(rule.family);
      text += std::string(family) + "\n";
    }
    text += "  " + std::string(rule.slug) + " (" + std::string(slug(rule.severity)) +
            (rule.fixable ? ", fixed by --fix" : "") + ")\n";
    text += "      " + std::string(rule.wrong) + "\n";
    text += "      Fix: " + with_hint(rule) + "\n";
    text += "      Source: " + std::string(rule.source) + "\n";
  }
  return text;
}

}  // namespace fifthpeg::cli
