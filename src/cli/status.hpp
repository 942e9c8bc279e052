// How the program ends. Scripts rely on these; there are no others.
#pragma once

#include <cstdint>

namespace fifthpeg::cli {

enum class Status : std::int8_t {
  done = 0,
  refused = 1,     // the music cannot be put on a banjo as asked, or --strict found a loss
  usage = 2,       // the command line makes no sense
  unreadable = 3,  // an input cannot be read
  unwritable = 4,  // an output cannot be written
};

}  // namespace fifthpeg::cli
