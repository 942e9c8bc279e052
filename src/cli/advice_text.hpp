// What `advise` says, for people and for programs.
#pragma once

#include <string>
#include <vector>

#include "fifthpeg/hands.hpp"
#include "fifthpeg/read.hpp"

namespace fifthpeg::cli {

// A short table, the best first, each row with its reasons and the options that do it.
std::string advice_text(const std::string& name, const Reading& reading, const std::vector<Advice>& advice);
// Described by schemas/advise.schema.json.
std::string advice_json(const std::string& input, const Reading& reading, const std::vector<Advice>& advice);

}  // namespace fifthpeg::cli
