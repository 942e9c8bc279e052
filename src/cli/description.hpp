// What `describe` prints, for people and for programs (schemas/describe.schema.json).
#pragma once

#include <string>

#include "cli/json.hpp"
#include "cli/lick_description.hpp"
#include "fifthpeg/read.hpp"
#include "fifthpeg/summary.hpp"

namespace fifthpeg::cli {

std::string description_text(const std::string& input, const Reading& reading, const Summary& summary,
                             const ToldOfLick& lick);
Json description_json(const std::string& input, const Reading& reading, const Summary& summary,
                      const ToldOfLick& lick);

// A MIDI number as a pitch for people: sharps, as nothing is known of a key. "F#4".
std::string pitch_name(int midi);

}  // namespace fifthpeg::cli
