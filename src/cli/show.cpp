#include <algorithm>
#include <string>
#include <sys/ioctl.h>
#include <unistd.h>

#include "cli/commands.hpp"
#include "cli/explanation.hpp"
#include "cli/given.hpp"
#include "cli/load.hpp"
#include "cli/messages.hpp"
#include "cli/output.hpp"

namespace fifthpeg::cli {
namespace {

int terminal_width() {
  constexpr int usual = 80;
  constexpr int narrowest = 40;
  struct winsize size {};
  if (::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0 || size.ws_col == 0) return usual;
  return std::max<int>(size.ws_col, narrowest);
}

}  // namespace

Status show(const ShowOptions& options) {
  const std::string name = input_name(options.input);
  Report told;  // by whatever came before an error, too
  try {
    Reading reading = load(options.input, options.in, options.hands.transpose);
    reading.report.forget("musicxml-layout");  // there is none in text
    const Given given = given_by(reading.score, options.in.banjo);
    told = reading.report;
    const Fingered fingered = finger(reading.score, options.hands);
    reading.report.merge(fingered.report);
    tell_of_found(reading.score, given, options.hands, reading.report);

    TextTabOptions text;
    text.width = options.width ? *options.width : terminal_width();
    text.fingers = options.fingers;
    DescriptorSink out(STDOUT_FILENO);
    Report written;
    write_text_tab(reading.score, text, out, written);
    if (options.explain) write_explanation(reading.score, fingered, out);
    out.flush();
    written.forget("tab-finger");  // --fingers shows them, to whom wants them
    keep_losses_of_given(written, given);
    reading.report.merge(written);
    // Below the tab, where it is seen.
    if (!options.quiet) say(report_lines(name, reading.report));
    return Status::done;
  } catch (...) {
    const Failure failure = current_failure(name, output_name(standard_stream));
    if (failure.silent) return failure.status;
    if (!options.quiet) say(report_lines(name, told));
    say(error_line(failure));
    return failure.status;
  }
}

}  // namespace fifthpeg::cli
