// What `advise` says, for people and for programs.
#pragma once

#include <string>
#include <vector>

#include "cli/options.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/read.hpp"

namespace fifthpeg::cli {

// A short table, the best first, each row with its reasons and the command that does it; below, what its
// figure means. `name` is what the input is called.
std::string advice_text(const AdviseRequest& request, const std::string& name, const Reading& reading,
                        const std::vector<Advice>& advice);
// Described by schemas/advise.schema.json.
std::string advice_json(const AdviseRequest& request, const Reading& reading,
                        const std::vector<Advice>& advice);

}  // namespace fifthpeg::cli
