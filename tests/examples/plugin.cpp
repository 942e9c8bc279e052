// A plug-in with a C interface: whether a score has a place on the banjo.
#include <cstddef>
#include <exception>
#include <fifthpeg/fifthpeg.hpp>

extern "C" int plugin_playable(const char* bytes, std::size_t size) {
  try {
    fifthpeg::Reading reading = fifthpeg::read({bytes, size});
    fifthpeg::finger(reading.score);
    return 1;
  } catch (const std::exception&) {
    return 0;
  }
}
