#include <string>
#include <unistd.h>

#include "cli/commands.hpp"
#include "cli/description.hpp"
#include "cli/load.hpp"
#include "cli/messages.hpp"
#include "cli/output.hpp"

namespace fifthpeg::cli {

Status describe(const DescribeOptions& options) {
  const std::string name = input_name(options.input);
  try {
    Loaded reading = load(options.input, options.in);
    reading.report.erase("musicxml-layout");  // nothing is written
    const Summary summary = summarize(reading.score);
    DescriptorSink out(STDOUT_FILENO);
    out.write(options.json ? description_json(options.input, reading, summary)
                           : description_text(name, reading, summary));
    out.flush();
    if (!options.quiet) say(report_lines(name, reading.report));
    return Status::done;
  } catch (...) {
    const Failure failure = current_failure(name, output_name(standard_stream));
    if (!failure.silent) say(error_line(failure));
    return failure.status;
  }
}

}  // namespace fifthpeg::cli
