#include <optional>
#include <string>
#include <vector>

#include "cli/advice_text.hpp"
#include "cli/commands.hpp"
#include "cli/each_input.hpp"
#include "cli/load.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::cli {

Status run(const AdviseRequest& request) {
  return answer_each(request.inputs, request.json, request.quiet, [&](const std::string& input) -> Answered {
    Loaded reading = load(input, request.in);
    reading.report.erase("musicxml-layout");  // nothing is written
    const std::vector<Advice> advice = fifthpeg::advise(reading.score, request.advise);
    const std::optional<Advice> folding = advise_folding(reading.score, request.advise, advice);
    if (advice.empty() && !folding) {
      throw about_source(reading.inventory, why_nothing_fits(reading.score, request.advise));
    }
    if (request.json) return {{}, advice_json(request, input, reading, advice, folding), reading.report};
    return {advice_text(request, input, reading, advice, folding), {}, reading.report};
  });
}

}  // namespace fifthpeg::cli
