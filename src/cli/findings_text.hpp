// What `check` says, for people and for programs.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "cli/messages.hpp"
#include "cli/status.hpp"
#include "fifthpeg/check.hpp"

namespace fifthpeg::cli {

// What --fix has done to a file.
struct Fixed {
  std::string output;        // where the result went
  std::uint64_t before = 0;  // findings in the file as it was
};

struct CheckedFile {
  std::string input;
  std::optional<Failure> failure;  // set: it could not be looked at
  std::optional<Fixed> fixed;      // set: with --fix; `checked` is then of the result
  std::vector<Fix> fixes;
  Checked checked;
  Status status = Status::done;
};

struct CheckTotals {
  std::uint64_t files = 0;
  std::uint64_t errors = 0;
  std::uint64_t warnings = 0;
  std::uint64_t notes = 0;
  std::uint64_t unreadable = 0;
  void add(const CheckedFile& file);
};

// "measure 3, beat 2, line 40, string 4": the string is said here and not again in what was found.
std::string place_text(const Finding& finding);
// The findings of one file, worst first, a line each, with a way to fix it after the first of each rule; what
// is wrong many times over is summed up, unless `all` are asked for. Empty where there is nothing to say.
std::string findings_text(const CheckedFile& file, bool all);
std::string totals_text(const CheckTotals& totals);
// The table of rules.
std::string rules_text();

// Described by schemas/check.schema.json and schemas/check-rules.schema.json.
std::string findings_json(const std::vector<CheckedFile>& files, Status status);
std::string rules_json();
// SARIF 2.1.0 (OASIS standard, 27 March 2020).
std::string findings_sarif(const std::vector<CheckedFile>& files);

}  // namespace fifthpeg::cli
