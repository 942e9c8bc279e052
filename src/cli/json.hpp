// Pieces that reports for programs have in common.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "cli/messages.hpp"
#include "fifthpeg/fraction.hpp"
#include "fifthpeg/report.hpp"

namespace fifthpeg::cli {

using Json = nlohmann::ordered_json;

// The members that are known, and "text", the whole for people.
Json to_json(const Place& place);
Json to_json(const Report& report);
Json to_json(const Failure& failure);
// What stands in the place of an answer: described by schemas/failure.schema.json.
Json failure_members(const std::string& input, const Failure& failure);
// As to_string() says it, so that it stays exact: "5/2".
Json to_json(Fraction value);
// Exact as "beat", and as a number as "beat_number".
void add_beat(Json& json, Fraction beat);
// An indented document ending in a new line. Bytes that are no UTF-8 become U+FFFD; what is not safe to show
// is escaped.
std::string document(const Json& json);
// With the program and its version in front.
Json program_members(const Json& members);
std::string program_document(const Json& members);

}  // namespace fifthpeg::cli
