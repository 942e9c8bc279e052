// Reads text as tab: a ReadError, or a sound score; what of it is written reads back.
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/read.hpp"
#include "fifthpeg/write.hpp"
#include "fuzz/must.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace fifthpeg;
  ReadOptions options;
  options.max_bytes = fuzz::max_bytes;
  if (size % 4 == 0) options.unit = Fraction(1, 16);
  try {
    const Reading reading =
        read_text_tab(std::string_view(reinterpret_cast<const char*>(data), size), options);
    fuzz::must_be_sound(reading.score);
    fuzz::must(reading.inventory.chosen < reading.inventory.parts.size(), "a part was chosen");
    StringSink text;
    write_text_tab(reading.score, {.width = 80, .fingers = true}, text);
    fuzz::must_be_sound(read_text_tab(text.str()).score);
  } catch (const ReadError& error) {
    fuzz::must(*error.what() != '\0', "an error that says what is wrong");
  }
  return 0;
}
