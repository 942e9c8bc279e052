#include <optional>
#include <string>
#include <vector>

#include "cli/advice_text.hpp"
#include "cli/commands.hpp"
#include "cli/load.hpp"
#include "cli/messages.hpp"
#include "cli/output.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::cli {

Status run(const AdviseRequest& request) {
  const std::string name = input_name(request.input);
  try {
    Loaded reading = load(request.input, request.in);
    reading.report.erase("musicxml-layout");  // nothing is written
    const std::vector<Advice> advice = fifthpeg::advise(reading.score, request.advise);
    const std::optional<Advice> folding = advise_folding(reading.score, request.advise, advice);
    if (advice.empty() && !folding) {
      throw about_source(reading.inventory, why_nothing_fits(reading.score, request.advise));
    }
    print(request.json ? advice_json(request, reading, advice, folding)
                       : advice_text(request, name, reading, advice, folding));
    if (!request.quiet) say(report_lines(name, reading.report));
    return Status::done;
  } catch (...) {
    return say_failure(name);
  }
}

}  // namespace fifthpeg::cli
