#include "cli/fit_answer.hpp"

#include <algorithm>
#include <utility>

#include "base/text.hpp"
#include "hands/source_fingering.hpp"

namespace fifthpeg::cli {
namespace {

Place place_of(const Score& tune, const LickPlace& place) {
  const Measure& measure = tune.measures[place.measure];
  return {{}, measure.number, beat_at(measure, place.at), 0, -1, 0};
}

std::string in_one_line(const std::vector<std::string>& parts) {
  std::string text;
  for (const std::string& part : parts) text.append(text.empty() ? "" : "; ").append(part);
  return text;
}

Json place_json(const Score& tune, const LickPlace& place) {
  Json json;
  json["measure"] = tune.measures[place.measure].number;
  add_beat(json, beat_at(tune.measures[place.measure], place.at));
  json["half_steps"] = place.half_steps;
  json["cost"] = place.cost;
  json["melody_notes_replaced"] = place.replaced;
  json["reasons"] = place.reasons;
  json["against"] = place.against;
  return json;
}

}  // namespace

std::string places_text(const Score& tune, const std::vector<LickAnswered>& answers) {
  std::vector<std::pair<const LickPlace*, const LickAnswered*>> all;
  for (const LickAnswered& answered : answers) {
    for (const LickPlace& place : answered.places) all.emplace_back(&place, &answered);
  }
  std::stable_sort(all.begin(), all.end(),
                   [](const auto& a, const auto& b) { return a.first->cost < b.first->cost; });
  std::string text;
  for (const auto& [place, answered] : all) {
    text.append(to_string(place_of(tune, *place))).append(": ").append(answered->lick).append(": ");
    text.append(in_one_line(place->reasons)).append("\n");
  }
  return text;
}

Report report_of_placeless(const std::vector<LickAnswered>& answers) {
  std::vector<std::pair<std::string, std::vector<std::string>>> by_reason;
  for (const LickAnswered& answered : answers) {
    if (!answered.places.empty()) continue;
    const auto same = std::find_if(by_reason.begin(), by_reason.end(),
                                   [&](const auto& one) { return one.first == answered.why_none; });
    if (same == by_reason.end()) {
      by_reason.push_back({answered.why_none, {answered.lick}});
    } else {
      same->second.push_back(answered.lick);
    }
  }
  Report report;
  for (const auto& [reason, licks] : by_reason) {
    std::string text = licks.size() == 1 ? "the lick "
                                         : std::to_string(licks.size()) +
                                               " licks have no place, each because " + reason + ": ";
    for (const std::string& lick : licks) text.append(&lick == licks.data() ? "" : ", ").append(lick);
    if (licks.size() == 1) text.append(" has no place: ").append(reason);
    report.add(EntryKind::decision, "lick-without-place", text);
  }
  return report;
}

Report report_of_lick(const Score& lick) {
  Report report;
  if (!hands::source_fingering(lick).placements) {
    report.add(EntryKind::decision, "lick-fingered",
               "the lick is not in tab: its strings and frets were found");
  }
  const bool has_chords = std::any_of(lick.measures.begin(), lick.measures.end(),
                                      [](const Measure& measure) { return !measure.chords.empty(); });
  if (!has_chords) {
    report.add(EntryKind::decision, "lick-chords-inferred",
               "the lick has no chord symbols: its chords were found in its notes");
  }
  return report;
}

Report report_of_place(const Score& tune, const LickPlace& place) {
  Report report;
  std::string text = "the lick is put here";
  if (!place.reasons.empty()) text += ": " + in_one_line(place.reasons);
  report.add(EntryKind::decision, "lick-put", text, place_of(tune, place));
  if (!place.against.empty())
    report.add(EntryKind::decision, "lick-against",
               "speaks against this place: " + in_one_line(place.against), place_of(tune, place));
  return report;
}

Json places_json(const std::string& input, const Score& tune, const std::vector<LickAnswered>& answers,
                 const Report& report) {
  Json licks = Json::array();
  for (const LickAnswered& answered : answers) {
    Json one;
    one["lick"] = answered.lick;
    one["places"] = Json::array();
    for (const LickPlace& place : answered.places) one["places"].push_back(place_json(tune, place));
    one["why_none"] = answered.places.empty() ? Json(answered.why_none) : Json(nullptr);
    licks.push_back(std::move(one));
  }
  return {
      {"input", input}, {"title", tune.work.title}, {"licks", std::move(licks)}, {"told", to_json(report)}};
}

Json versions_json(const std::string& input, const Score& tune, const std::string& lick,
                   const std::vector<Version>& versions, const Report& report) {
  Json list = Json::array();
  for (const Version& version : versions) {
    Json one;
    one["output"] = version.output;
    one["place"] = place_json(tune, version.place);
    one["told"] = to_json(version.report);
    list.push_back(std::move(one));
  }
  return {{"input", input},
          {"title", tune.work.title},
          {"lick", lick},
          {"versions", std::move(list)},
          {"told", to_json(report)}};
}

}  // namespace fifthpeg::cli
