#include <algorithm>
#include <cstdlib>
#include <optional>
#include <string>
#include <string_view>
#include <sys/ioctl.h>
#include <unistd.h>
#include <utility>

#include "base/number.hpp"
#include "cli/commands.hpp"
#include "cli/explanation.hpp"
#include "cli/load.hpp"
#include "cli/messages.hpp"
#include "cli/output.hpp"
#include "cli/same_file.hpp"

namespace fifthpeg::cli {
namespace {

// What the environment variable COLUMNS says, or nothing where it is not a number above 0
// (POSIX.1-2017, 8.3).
std::optional<int> columns_asked_for() {
  const char* const columns = std::getenv("COLUMNS");
  const auto value = columns == nullptr ? std::nullopt : base::number<int>(columns);
  return value > 0 ? value : std::nullopt;
}

// How wide to print where no width is given.
int usual_width() {
  constexpr int elsewhere = 80;  // than on a terminal
  struct winsize size {};
  if (::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0) return elsewhere;
  const int terminal = size.ws_col > 0 ? size.ws_col : elsewhere;
  return std::clamp(columns_asked_for().value_or(terminal), narrowest_tab, widest_tab);
}

}  // namespace

Status run(const ShowOptions& options) {
  const std::string name = input_name(options.input);
  std::vector<std::string> read = options.in.also_read;
  read.push_back(options.input);
  refuse_to_write_over_inputs(read, {standard_stream});
  Report before_error;  // by whatever came before an error
  try {
    Loaded reading = load(options.input, options.in, &options.hands);
    reading.report.erase("musicxml-layout");  // there is none in text
    before_error = reading.report;
    const FingeringResult fingered = finger_loaded(reading, options.in, options.hands);
    reading.report.merge(fingered.report);

    TextTabOptions text;
    text.width = options.width ? *options.width : usual_width();
    text.fingers = options.fingers;
    text.shapes = options.shapes;
    text.roles = options.roles;
    DescriptorSink out(STDOUT_FILENO);
    Report written = write_text_tab(reading.score, text, out);
    if (options.explain) write_explanation(reading.score, fingered, out);
    out.flush();
    written.erase("tab-finger");  // --fingers shows them
    written.erase("tab-role");    // and --roles these
    reading.report.merge(losses_of_source(std::move(written), fingered.source));
    // Below the tab, where it is seen.
    if (!options.quiet) say(report_lines(name, reading.report));
    return Status::done;
  } catch (...) {
    const Failure failure = current_failure(name, output_name(standard_stream));
    if (failure.silent) return failure.status;
    if (!options.quiet) say(report_lines(name, before_error));
    return say_failure(failure);
  }
}

}  // namespace fifthpeg::cli
