#include "fifthpeg/check.hpp"

#include <algorithm>
#include <optional>
#include <string>
#include <unistd.h>
#include <vector>

#include "cli/commands.hpp"
#include "cli/findings_text.hpp"
#include "cli/input.hpp"
#include "cli/messages.hpp"
#include "cli/ordered_parallel.hpp"
#include "cli/output.hpp"
#include "cli/same_file.hpp"

namespace fifthpeg::cli {
namespace {

// Writes the fixed file, unless there is nothing to fix in it; returns its bytes.
std::string fix(const std::string& bytes, const CheckRequest& request, CheckedFile& file) {
  FixResult fixed = fix(bytes, request.check);
  const Checked before = check_file(bytes, request.check);
  if (fixed.fixes.empty()) {
    // Nothing is written: a copy would look like a file that was fixed.
  } else if (request.fix == standard_stream) {
    DescriptorSink out(STDOUT_FILENO);
    out.write(fixed.bytes);
    out.flush();
  } else {
    OutputFile out(request.fix, request.force);
    out.write(fixed.bytes);
    out.commit();
  }
  file.fixed = Fixed{request.fix, before.findings.size() + before.left_out};
  file.fixes = std::move(fixed.fixes);
  return std::move(fixed.bytes);
}

CheckedFile check_one(const std::string& input, const CheckRequest& request) {
  CheckedFile file;
  file.input = input;
  try {
    std::string bytes = read_input(input, request.check.max_bytes);
    if (!request.fix.empty()) bytes = fix(bytes, request, file);
    file.checked = check_file(bytes, request.check);
  } catch (...) {
    file.failure = current_failure(input_name(input), output_name(request.fix));
    file.checked.readable = false;
  }
  return file;
}

Status status_of(const CheckedFile& file, bool strict) {
  if (file.failure) return file.failure->status;
  if (!file.checked.readable) return Status::unreadable;
  if (file.checked.count(Severity::error) > 0) return Status::refused;
  return strict && file.checked.count(Severity::warning) > 0 ? Status::refused : Status::done;
}

// What cannot be read outweighs what is wrong.
Status worse(Status a, Status b) {
  if (a == Status::unreadable || b == Status::unreadable) return Status::unreadable;
  return std::max(a, b);
}

}  // namespace

Status run(const CheckRequest& request) {
  if (request.list_rules) {
    print(request.form == CheckForm::json ? rules_json() : rules_text());
    return Status::done;
  }
  std::vector<std::string> outputs{standard_stream};
  if (!request.fix.empty()) outputs.push_back(request.fix);
  refuse_to_write_over_inputs(request.inputs, outputs);
  DescriptorSink out(STDOUT_FILENO);
  std::vector<CheckedFile> files(request.inputs.size());
  Status status = Status::done;
  const bool text = request.form == CheckForm::text;
  CheckTotals totals;
  // A fixed file on standard output has that to itself.
  const auto add = [&](const std::string& lines) {
    if (request.fix == standard_stream) {
      say(lines);
    } else {
      out.write(base::printable_lines(lines));
    }
  };
  const auto work = [&](std::size_t at) { files[at] = check_one(request.inputs[at], request); };
  const auto done = [&](std::size_t at) {
    CheckedFile& file = files[at];
    file.status = status_of(file, request.strict);
    status = worse(status, file.status);
    if (file.failure) say_failure(*file.failure);
    totals.add(file);
    if (!text) return;
    add(findings_text(file, request.all));
    file = {};  // printed; a large batch need not keep it
  };
  run_in_order(files.size(), request.jobs, work, done);
  if (text) {
    add(totals_text(totals));
  } else {
    out.write(request.form == CheckForm::json ? findings_json(files, status) : findings_sarif(files));
  }
  out.flush();
  return status;
}

}  // namespace fifthpeg::cli
