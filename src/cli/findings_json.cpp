#include "cli/findings_text.hpp"
#include "cli/json.hpp"

namespace fifthpeg::cli {
namespace {

Json finding_json(const Finding& finding) {
  Json json{{"rule", finding.rule}, {"severity", slug(finding.severity)}, {"text", finding.text}};
  if (finding.string) json["string"] = *finding.string;
  json["place"] = to_json(finding.place);
  return json;
}

Json file_json(const CheckedFile& file) {
  const Checked& checked = file.checked;
  Json findings = Json::array();
  for (const Finding& finding : checked.findings) findings.push_back(finding_json(finding));
  Json json{{"input", file.input},
            {"format", checked.format.empty() ? Json(nullptr) : Json(checked.format)},
            {"status", static_cast<int>(file.status)},
            {"readable", checked.readable},
            {"error", file.failure ? Json(file.failure->what) : Json(nullptr)},
            {"errors", checked.count(Severity::error)},
            {"warnings", checked.count(Severity::warning)},
            {"notes", checked.count(Severity::note)},
            {"left_out", checked.left_out},
            {"silenced", checked.silenced}};
  Json fixes = Json::array();
  for (const Fix& fix : file.fixes)
    fixes.push_back({{"rule", fix.rule}, {"text", fix.text}, {"place", to_json(fix.place)}});
  json["mended"] = std::move(fixes);
  json["findings"] = std::move(findings);
  return json;
}

}  // namespace

std::string findings_json(const std::vector<CheckedFile>& files, Status status) {
  Json list = Json::array();
  for (const CheckedFile& file : files) list.push_back(file_json(file));
  return program_document({{"status", static_cast<int>(status)}, {"files", std::move(list)}});
}

std::string rules_json() {
  Json list = Json::array();
  for (const Rule& rule : rules()) {
    list.push_back({{"rule", rule.slug},
                    {"family", slug(rule.family)},
                    {"severity", slug(rule.severity)},
                    {"wrong", rule.wrong},
                    {"mend", rule.fix},
                    {"source", rule.source},
                    {"mended_by_fix", rule.fixable}});
  }
  return program_document({{"rules", std::move(list)}});
}

}  // namespace fifthpeg::cli
