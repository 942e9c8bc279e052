// Checks any bytes, and mends them: nothing escapes but a ReadError of mend(), findings are in order and of
// rules that exist, and what was mended is not found again.
#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

#include "fifthpeg/check.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/read.hpp"
#include "fuzz/must.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace fifthpeg;
  const std::string_view bytes(reinterpret_cast<const char*>(data), size);
  CheckOptions options;
  options.max_bytes = fuzz::max_bytes;
  options.max_findings = 200;
  const Checked checked = check_file(bytes, options);
  fuzz::must(checked.findings.size() <= options.max_findings, "a bound on findings");
  fuzz::must(std::is_sorted(checked.findings.begin(), checked.findings.end(),
                            [](const Finding& a, const Finding& b) { return a.severity > b.severity; }),
             "worst first");
  for (const Finding& finding : checked.findings) {
    const Rule* rule = find_rule(finding.rule);
    fuzz::must(rule != nullptr && rule->severity == finding.severity, "a rule for each finding");
    fuzz::must(!finding.text.empty(), "a text for each finding");
  }
  if (!checked.readable && checked.silenced.empty()) {
    fuzz::must(!checked.findings.empty(), "a reason why it could not be read to its end");
  }
  if (checked.silenced.empty()) {
    bool reads = true;
    ReadOptions reading;
    reading.max_bytes = options.max_bytes;
    try {
      read(bytes, reading);
    } catch (const ReadError&) {
      reads = false;
    }
    fuzz::must(reads || !checked.readable, "what cannot be read is not called readable");
  }
  try {
    const FixResult fixed = fix(bytes, options);
    fuzz::must(fixed.fixes.empty() == (fixed.bytes == bytes), "each change is told");
    fuzz::must(fix(fixed.bytes, options).fixes.empty(), "complete in one run");
  } catch (const ReadError& error) {
    fuzz::must(*error.what() != '\0', "an error that says what is wrong");
  }
  return 0;
}
