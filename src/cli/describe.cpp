#include <string>

#include "cli/commands.hpp"
#include "cli/description.hpp"
#include "cli/each_input.hpp"
#include "cli/load.hpp"
#include "cli/messages.hpp"

namespace fifthpeg::cli {

Status run(const DescribeOptions& options) {
  return answer_each(options.inputs, options.json, options.quiet, [&](const std::string& input) -> Answered {
    Loaded reading = load(input, options.in);
    reading.report.erase("musicxml-layout");  // nothing is written
    const Summary summary = summarize(reading.score);
    const ToldOfLick lick = told_of_lick(reading);
    if (options.json) return {{}, description_json(input, reading, summary, lick), reading.report};
    return {description_text(input_name(input), reading, summary, lick), {}, reading.report};
  });
}

}  // namespace fifthpeg::cli
