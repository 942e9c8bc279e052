#include "fifthpeg/check.hpp"

#include <algorithm>
#include <optional>
#include <string>
#include <unistd.h>
#include <vector>

#include "cli/commands.hpp"
#include "cli/findings_text.hpp"
#include "cli/in_order.hpp"
#include "cli/input.hpp"
#include "cli/messages.hpp"
#include "cli/output.hpp"

namespace fifthpeg::cli {
namespace {

CheckedFile check_one(const std::string& input, const CheckOptions& options) {
  CheckedFile file;
  file.input = input;
  try {
    file.checked = check_file(read_input(input, options.max_bytes), options);
  } catch (...) {
    file.failure = current_failure(input_name(input), "");
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

Status check(const CheckRequest& request) {
  DescriptorSink out(STDOUT_FILENO);
  if (request.list_rules) {
    out.write(request.form == CheckForm::json ? rules_json() : rules_text());
    out.flush();
    return Status::done;
  }
  std::vector<CheckedFile> files(request.inputs.size());
  Status status = Status::done;
  const bool text = request.form == CheckForm::text;
  CheckTotals totals;
  const auto work = [&](std::size_t at) { files[at] = check_one(request.inputs[at], request.check); };
  const auto done = [&](std::size_t at) {
    CheckedFile& file = files[at];
    file.status = status_of(file, request.strict);
    status = worse(status, file.status);
    if (file.failure && !file.failure->silent) say(error_line(*file.failure));
    totals.add(file);
    if (!text) return;
    out.write(findings_text(file));
    file = {};  // told; a large batch need not keep it
  };
  run_in_order(files.size(), request.jobs, work, done);
  if (text) {
    out.write(totals_text(totals));
  } else {
    out.write(request.form == CheckForm::json ? findings_json(files, status) : findings_sarif(files));
  }
  out.flush();
  return status;
}

}  // namespace fifthpeg::cli
