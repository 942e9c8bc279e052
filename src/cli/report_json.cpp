#include "cli/report_json.hpp"

#include "cli/json.hpp"

namespace fifthpeg::cli {
namespace {

Json to_json(const Conversion& conversion) {
  Json json;
  json["input"] = conversion.input;
  json["output"] = conversion.output;
  json["status"] = static_cast<int>(conversion.failure ? conversion.failure->status : Status::done);
  json["error"] = nullptr;
  if (conversion.failure) {
    json["error"] = {{"code", conversion.failure->code},
                     {"what", conversion.failure->what},
                     {"place", cli::to_json(conversion.failure->place)}};
  }
  json["told"] = cli::to_json(conversion.report);
  return json;
}

}  // namespace

std::string report_json(const std::vector<Conversion>& conversions, Status status) {
  std::size_t failed = 0;
  Json files = Json::array();
  for (const Conversion& conversion : conversions) {
    if (conversion.failure) ++failed;
    files.push_back(to_json(conversion));
  }
  return program_document({{"status", static_cast<int>(status)},
                           {"converted", conversions.size() - failed},
                           {"failed", failed},
                           {"files", std::move(files)}});
}

}  // namespace fifthpeg::cli
