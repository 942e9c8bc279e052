// The names of General MIDI's programs.
#pragma once

#include <string_view>

namespace fifthpeg::midi {

// What General MIDI calls a program, counted from 0: "Banjo" is 105. Empty outside of 0 to 127.
// Source: General MIDI System Level 1 (RP-003, MIDI Manufacturers Association), the sound set, from memory.
std::string_view program_name(int program);

}  // namespace fifthpeg::midi
