#include <string>
#include <unistd.h>

#include "cli/advice_text.hpp"
#include "cli/commands.hpp"
#include "cli/load.hpp"
#include "cli/messages.hpp"
#include "cli/output.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::cli {

Status advise(const AdviseRequest& request) {
  const std::string name = input_name(request.input);
  try {
    Loaded reading = load(request.input, request.in);
    reading.report.erase("musicxml-layout");  // nothing is written
    const std::vector<Advice> advice = fifthpeg::advise(reading.score, request.advise);
    if (advice.empty()) throw why_nothing_fits(reading.score, request.advise);
    DescriptorSink out(STDOUT_FILENO);
    out.write(request.json ? advice_json(request, reading, advice)
                           : advice_text(request, name, reading, advice));
    out.flush();
    if (!request.quiet) say(report_lines(name, reading.report));
    return Status::done;
  } catch (...) {
    const Failure failure = current_failure(name, output_name(standard_stream));
    if (!failure.silent) say(error_line(failure));
    return failure.status;
  }
}

}  // namespace fifthpeg::cli
