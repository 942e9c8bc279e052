// SARIF 2.1.0: OASIS standard of 27 March 2020; sections are named where they decide something.
#include <array>
#include <cstdio>

#include "base/text.hpp"
#include "cli/findings_text.hpp"
#include "cli/json.hpp"
#include "cli/options.hpp"
#include "version.hpp"

namespace fifthpeg::cli {
namespace {

// "TabFretContradictsPitch" of "tab-fret-contradicts-pitch".
std::string name_of(std::string_view slug) {
  std::string name;
  bool capital = true;
  for (const char c : slug) {
    if (c != '-') name += capital ? base::upper_case(c) : c;
    capital = c == '-';
  }
  return name;
}

// A path as a URI reference (RFC 3986): what is no unreserved character or slash is escaped (3.4.3).
std::string uri_of(std::string_view path) {
  constexpr std::string_view unreserved =
      "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._~/";
  std::string uri = path.starts_with('/') ? "file://" : "";
  for (const char c : path) {
    std::array<char, 8> escaped{c};
    if (unreserved.find(c) == std::string_view::npos)
      std::snprintf(escaped.data(), escaped.size(), "%%%02X",
                    static_cast<unsigned>(static_cast<unsigned char>(c)));
    uri += escaped.data();
  }
  return uri;
}

Json location(const std::string& input, const Finding& finding) {
  Json artifact = input == standard_stream ? Json{{"uri", "stdin"}} : Json{{"uri", uri_of(input)}};
  Json physical{{"artifactLocation", std::move(artifact)}};
  // A region is of text by lines or of bytes (3.30.2).
  if (finding.place.line > 0) {
    physical["region"] = {{"startLine", finding.place.line}};
    if (finding.place.column > 0) physical["region"]["startColumn"] = finding.place.column;
  } else if (finding.place.byte >= 0) {
    physical["region"] = {{"byteOffset", finding.place.byte}, {"byteLength", 1}};
  }
  Json json{{"physicalLocation", std::move(physical)}};
  std::string words;
  if (!finding.place.part.empty()) words = "part " + finding.place.part;
  if (!finding.place.measure.empty())
    words += (words.empty() ? "" : ", ") + ("measure " + finding.place.measure);
  if (!words.empty()) json["logicalLocations"] = Json::array({{{"fullyQualifiedName", words}}});
  return json;
}

Json result(const CheckedFile& file, const Finding& finding) {
  const std::ptrdiff_t index = find_rule(finding.rule) - rules().data();
  const std::string place = place_text(finding);
  return {{"ruleId", finding.rule},
          {"ruleIndex", index},
          {"level", slug(finding.severity)},
          {"message", {{"text", place.empty() ? finding.text : place + ": " + finding.text}}},
          {"locations", Json::array({location(file.input, finding)})}};
}

}  // namespace

std::string findings_sarif(const std::vector<CheckedFile>& files) {
  Json descriptions = Json::array();
  for (const Rule& rule : rules()) {
    descriptions.push_back({{"id", rule.slug},
                            {"name", name_of(rule.slug)},
                            {"shortDescription", {{"text", rule.wrong}}},
                            {"help", {{"text", rule.fix}}},
                            {"defaultConfiguration", {{"level", slug(rule.severity)}}},
                            {"properties", {{"family", slug(rule.family)}, {"source", rule.source}}}});
  }
  Json results = Json::array();
  Json notifications = Json::array();
  for (const CheckedFile& file : files) {
    for (const Finding& finding : file.checked.findings) results.push_back(result(file, finding));
    if (!file.failure) continue;
    notifications.push_back(
        {{"level", "error"}, {"message", {{"text", input_name(file.input) + ": " + file.failure->what}}}});
  }
  Json driver{{"name", "fifthpeg"},
              {"semanticVersion", std::string(version_text)},
              {"rules", std::move(descriptions)}};
  // False only where a file could not be looked at (3.20.14): findings are no failure of the tool.
  Json invocation{{"executionSuccessful", notifications.empty()},
                  {"toolExecutionNotifications", std::move(notifications)}};
  Json run{{"tool", {{"driver", std::move(driver)}}},
           {"invocations", Json::array({std::move(invocation)})},
           {"columnKind", "unicodeCodePoints"},
           {"results", std::move(results)}};
  return document(
      {{"$schema",
        "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"},
       {"version", "2.1.0"},
       {"runs", Json::array({std::move(run)})}});
}

}  // namespace fifthpeg::cli
