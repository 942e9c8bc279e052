// Reads MIDI bytes: a ReadError, or a sound score.
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/read.hpp"
#include "fuzz/must.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace fifthpeg;
  ReadOptions options;
  options.max_bytes = fuzz::max_bytes;
  options.all_parts = size % 2 == 0;
  try {
    const Reading reading = read_midi(std::string_view(reinterpret_cast<const char*>(data), size), options);
    fuzz::must_be_sound(reading.score);
    fuzz::must(reading.inventory.chosen < reading.inventory.parts.size(), "a part was chosen");
  } catch (const ReadError& error) {
    fuzz::must(*error.what() != '\0', "an error that says what is wrong");
  }
  return 0;
}
