#include "cli/report_json.hpp"

#include "cli/json.hpp"

namespace fifthpeg::cli {
namespace {

Json to_json(const Conversion& conversion) {
  Json json;
  json["input"] = conversion.input;
  json["output"] = conversion.output;
  json["status"] = static_cast<int>(conversion.failure ? conversion.failure->status : Status::done);
  json["skipped"] = conversion.skipped;
  json["error"] = conversion.failure ? cli::to_json(*conversion.failure) : Json(nullptr);
  json["told"] = cli::to_json(conversion.report);
  return json;
}

}  // namespace

std::string report_json(const std::vector<Conversion>& conversions, Status status) {
  std::size_t failed = 0;
  std::size_t skipped = 0;
  Json files = Json::array();
  for (const Conversion& conversion : conversions) {
    if (conversion.failure) ++failed;
    if (conversion.skipped) ++skipped;
    files.push_back(to_json(conversion));
  }
  return program_document({{"status", static_cast<int>(status)},
                           {"converted", conversions.size() - failed - skipped},
                           {"failed", failed},
                           {"skipped", skipped},
                           {"files", std::move(files)}});
}

}  // namespace fifthpeg::cli
