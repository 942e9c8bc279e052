// Text in MIDI files has no stated encoding.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "fifthpeg/report.hpp"

namespace fifthpeg::midi {

// UTF-8 if it is valid UTF-8, otherwise read as Latin-1 and reported. Control characters become spaces; ends
// are trimmed.
std::string decode_text(std::string_view bytes, std::size_t at, Report& report);

}  // namespace fifthpeg::midi
