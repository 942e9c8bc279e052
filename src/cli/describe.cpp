#include <string>

#include "cli/commands.hpp"
#include "cli/description.hpp"
#include "cli/load.hpp"
#include "cli/messages.hpp"
#include "cli/output.hpp"

namespace fifthpeg::cli {

Status run(const DescribeOptions& options) {
  const std::string name = input_name(options.input);
  try {
    Loaded reading = load(options.input, options.in);
    reading.report.erase("musicxml-layout");  // nothing is written
    const Summary summary = summarize(reading.score);
    print(options.json ? description_json(options.input, reading, summary)
                       : description_text(name, reading, summary));
    if (!options.quiet) say(report_lines(name, reading.report));
    return Status::done;
  } catch (...) {
    return say_failure(name);
  }
}

}  // namespace fifthpeg::cli
