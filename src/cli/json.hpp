// Pieces that reports for programs have in common.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "fifthpeg/fraction.hpp"
#include "fifthpeg/report.hpp"

namespace fifthpeg::cli {

using Json = nlohmann::ordered_json;

// The members that are known, and "text", the whole for people.
Json to_json(const Place& place);
Json to_json(const Report& report);
// As to_string() says it, so that it stays exact: "5/2".
Json to_json(Fraction value);
// Exact as "beat", and as a number as "beat_number".
void add_beat(Json& json, Fraction beat);
// An indented document ending in a new line. Bytes that are no UTF-8 become U+FFFD.
std::string document(const Json& json);
// One that begins with the program and its version.
std::string program_document(const Json& members);

}  // namespace fifthpeg::cli
