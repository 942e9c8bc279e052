#include "cli/json.hpp"

#include <algorithm>
#include <array>
#include <cstdio>
#include <string_view>

#include "base/text.hpp"
#include "base/utf8.hpp"
#include "cli/hints.hpp"
#include "version.hpp"
namespace fifthpeg::cli {

Json to_json(const Place& place) {
  Json json = Json::object();
  if (!place.part.empty()) json["part"] = place.part;
  if (!place.measure.empty()) json["measure"] = place.measure;
  if (place.beat) add_beat(json, *place.beat);
  if (place.line > 0) json["line"] = place.line;
  if (place.column > 0) json["column"] = place.column;
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

Json to_json(const Failure& failure) {
  return {{"code", failure.code}, {"what", failure.what}, {"place", to_json(failure.place)}};
}

Json failure_members(const std::string& input, const Failure& failure) {
  Json json = Json::object();
  if (!input.empty()) json["input"] = input;
  json["status"] = static_cast<int>(failure.status);
  json["error"] = to_json(failure);
  return json;
}

Json program_members(const Json& members) {
  Json json{{"program", "fifthpeg"}, {"version", version_text}};
  json.update(members);
  return json;
}

std::string program_document(const Json& members) {
  return document(program_members(members));
}

std::string document(const Json& json) {
  constexpr int indent = 2;
  const std::string text = json.dump(indent, ' ', false, Json::error_handler_t::replace) + "\n";
  // What is not ASCII stands in strings only, where it may as well be escaped (RFC 8259, 7).
  std::string escaped;
  escaped.reserve(text.size());
  for (std::string_view rest = text; !rest.empty();) {
    const base::Character character = base::first_character(rest);
    if (character.code == '\n' || base::is_safe_to_show(character.code)) {
      escaped += rest.substr(0, character.length);
    } else {
      std::array<char, 8> code{};  // none of them is above U+FFFF
      std::snprintf(code.data(), code.size(), "\\u%04x", static_cast<unsigned>(character.code));
      escaped += code.data();
    }
    rest.remove_prefix(std::max<std::size_t>(1, character.length));
  }
  return escaped;
}

}  // namespace fifthpeg::cli
