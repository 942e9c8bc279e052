#include "cli/json.hpp"

#include "cli/hints.hpp"
#include "version.hpp"
namespace fifthpeg::cli {

Json to_json(const Place& place) {
  Json json = Json::object();
  if (!place.part.empty()) json["part"] = place.part;
  if (!place.measure.empty()) json["measure"] = place.measure;
  if (place.beat) add_beat(json, *place.beat);
  if (place.line > 0) json["line"] = place.line;
  if (place.byte >= 0) json["byte"] = place.byte;
  json["text"] = to_string(place);
  return json;
}

Json to_json(const Report& report) {
  Json list = Json::array();
  for (const Entry& entry : report.entries()) {
    Json places = Json::array();
    for (const Place& place : entry.places) places.push_back(to_json(place));
    list.push_back({{"telling", slug(entry.kind)},
                    {"slug", entry.slug},
                    {"text", with_hint(entry).text},
                    {"count", entry.count},
                    {"places", std::move(places)}});
  }
  return list;
}

Json to_json(Fraction value) {
  return to_string(value);
}

void add_beat(Json& json, Fraction beat) {
  json["beat"] = to_json(beat);
  json["beat_number"] = beat.to_double();
}

std::string program_document(const Json& members) {
  Json json{{"program", "fifthpeg"}, {"version", version_text}};
  json.update(members);
  return document(json);
}

std::string document(const Json& json) {
  constexpr int indent = 2;
  return json.dump(indent, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace fifthpeg::cli
