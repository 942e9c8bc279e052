#include "fifthpeg/errors.hpp"
#include "fifthpeg/read.hpp"
#include "formats/musicxml/archive.hpp"

namespace fifthpeg {

Reading read_mxl(std::string_view bytes, const ReadOptions& options) {
  if (bytes.size() > options.max_bytes) {
    throw ReadError("input-too-large",
                    "the input is larger than " + std::to_string(options.max_bytes) + " bytes", {},
                    {{}, {}, static_cast<std::int64_t>(options.max_bytes)});
  }
  Report report;
  const std::string score = musicxml::unpack_score(bytes, options.max_bytes, report);
  Reading reading = read_musicxml(score, options);
  report.merge(reading.report);
  reading.report = std::move(report);
  reading.inventory.format = "compressed " + reading.inventory.format;
  return reading;
}

}  // namespace fifthpeg
