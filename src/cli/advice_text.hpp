// What `advise` says, for people and for programs.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/json.hpp"
#include "cli/options.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/read.hpp"

namespace fifthpeg::cli {

// A short table, the best first, each row with its reasons and the command that does it; then what folding
// would gain; below, what its figure means.
std::string advice_text(const AdviseRequest& request, const std::string& input, const Reading& reading,
                        const std::vector<Advice>& advice, const std::optional<Advice>& folding);
// Described by schemas/advise.schema.json.
Json advice_json(const AdviseRequest& request, const std::string& input, const Reading& reading,
                 const std::vector<Advice>& advice, const std::optional<Advice>& folding);

}  // namespace fifthpeg::cli
