#include "fifthpeg/read.hpp"

namespace fifthpeg {

Reading read(std::string_view bytes, const ReadOptions& options) {
  switch (sniff(bytes)) {
    case Format::midi:
      return read_midi(bytes, options);
    case Format::mxl:
      return read_mxl(bytes, options);
    case Format::text_tab:
      return read_text_tab(bytes, options);
    case Format::musicxml:
      break;
  }
  return read_musicxml(bytes, options);
}

}  // namespace fifthpeg
