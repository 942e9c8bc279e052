// Commands that say something of each of their inputs.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "cli/json.hpp"
#include "cli/status.hpp"
#include "fifthpeg/report.hpp"

namespace fifthpeg::cli {

struct Answered {
  std::string text;  // for people
  Json json;         // its members, for programs
  Report report;
};

// Prints what `answer` says of each input, one after the other, as text or as one JSON document. An input
// that fails does not stop the others. Returns the status of the first that failed.
Status answer_each(const std::vector<std::string>& inputs, bool json, bool quiet,
                   const std::function<Answered(const std::string& input)>& answer);

}  // namespace fifthpeg::cli
