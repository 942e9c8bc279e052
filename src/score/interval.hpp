// Intervals in words.
#pragma once

#include <string>

namespace fifthpeg {

// "an octave", "2 octaves", "3 half steps": how far, up or down; not for 0.
std::string interval_text(int half_steps);

}  // namespace fifthpeg
