// What `describe` says of a short score: what it does as a lick.
#pragma once

#include <optional>
#include <string>

#include "cli/json.hpp"
#include "fifthpeg/licks.hpp"
#include "fifthpeg/read.hpp"

namespace fifthpeg::cli {

struct ToldOfLick {
  std::optional<LickFacts> facts;
  std::string why_not = {};  // where hands have nothing to say of it; empty for a tune, and for silence
  std::optional<double> own_tempo = {};  // that the file has at its start, in beats of the meter a minute
};
// Nothing of what is too long for a lick or has no notes.
ToldOfLick told_of_lick(const Reading& reading);

// All of them: described by `lick` in schemas/describe.schema.json.
Json to_json(const LickFacts& facts);

}  // namespace fifthpeg::cli
