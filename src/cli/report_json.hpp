// Reports for programs; their form is schemas/report.schema.json.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/messages.hpp"
#include "cli/status.hpp"
#include "fifthpeg/report.hpp"

namespace fifthpeg::cli {

// What became of one input.
struct Conversion {
  std::string input;
  std::string output;
  std::optional<Failure> failure;  // set: nothing was written
  Report report;
  bool skipped = false;  // the output was there already
};

std::string report_json(const std::vector<Conversion>& conversions, Status status);

}  // namespace fifthpeg::cli
